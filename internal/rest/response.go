package rest

import (
	"net/http"
	"strconv"
)

// rendered is a JSON answer that is made already. It stands in for the generated response types where those would build
// a tree of structs only to print it.
type rendered struct {
	status   int
	tag      string // ETag
	location string
	body     []byte
}

func (r rendered) write(w http.ResponseWriter) error {
	h := w.Header()
	if r.tag != "" {
		h.Set("ETag", r.tag)
	}
	if r.location != "" {
		h.Set("Location", r.location)
	}
	if r.status == http.StatusNotModified {
		w.WriteHeader(r.status)
		return nil
	}
	h.Set("Content-Type", "application/json")
	h.Set("Content-Length", strconv.Itoa(len(r.body)))
	w.WriteHeader(r.status)
	_, err := w.Write(r.body)
	return err
}

func notModified(tag string) rendered { return rendered{status: http.StatusNotModified, tag: tag} }

// The operations that answer with it.
func (r rendered) VisitListItemsResponse(w http.ResponseWriter) error    { return r.write(w) }
func (r rendered) VisitGetItemResponse(w http.ResponseWriter) error      { return r.write(w) }
func (r rendered) VisitCreateItemResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitReplaceItemResponse(w http.ResponseWriter) error  { return r.write(w) }
func (r rendered) VisitGetOpenAPIResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitCreateSizingResponse(w http.ResponseWriter) error { return r.write(w) }

// csvFile is a CSV download.
type csvFile struct {
	name string // made of a house's short name and a kind: nothing in it needs quoting
	body []byte
}

// VisitExportItemsResponse implements [ExportItemsResponseObject].
func (f csvFile) VisitExportItemsResponse(w http.ResponseWriter) error {
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="`+f.name+`"`)
	w.Header().Set("Content-Length", strconv.Itoa(len(f.body)))
	w.WriteHeader(http.StatusOK)
	_, err := w.Write(f.body)
	return err
}
