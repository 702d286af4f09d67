package rest

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"kitspan/internal/httpchain"
)

// rendered is a JSON answer that is made already. It stands in for the generated response types where those would build
// a tree of structs only to print it.
type rendered struct {
	status   int
	tag      string // ETag
	location string
	link     string
	body     []byte
}

func (r rendered) write(w http.ResponseWriter) error {
	h := w.Header()
	if r.tag != "" {
		h.Set("ETag", r.tag)
		if !strings.HasPrefix(r.tag, "W/") {
			httpchain.Uncoded(h)
		}
	}
	if r.location != "" {
		h.Set("Location", r.location)
	}
	if r.link != "" {
		h.Set("Link", r.link)
	}
	if r.status == http.StatusNotModified {
		w.WriteHeader(r.status)
		return nil
	}
	h.Set("Content-Type", jsonType)
	h.Set("Content-Length", strconv.Itoa(len(r.body)))
	w.WriteHeader(r.status)
	_, err := w.Write(r.body)
	return err
}

// taggedJSON is a JSON answer whose ETag is a hash of it, or 304 where the client has it by its If-None-Match. The tag is weak, since the answer
// goes out plain and compressed.
func taggedJSON(body []byte, ifNoneMatch *string) rendered {
	sum := sha256.Sum256(body)
	tag := `W/"` + base64.RawURLEncoding.EncodeToString(sum[:12]) + `"` // 96 bits: no two states of one address meet by chance
	if matchesTag(deref(ifNoneMatch), tag) {
		return notModified(tag)
	}
	return rendered{status: http.StatusOK, tag: tag, body: body}
}

func notModified(tag string) rendered { return rendered{status: http.StatusNotModified, tag: tag} }

// The operations that answer with it.
func (r rendered) VisitListHousesResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitGetHouseResponse(w http.ResponseWriter) error     { return r.write(w) }
func (r rendered) VisitExportItemsResponse(w http.ResponseWriter) error  { return r.write(w) }
func (r rendered) VisitListItemsResponse(w http.ResponseWriter) error    { return r.write(w) }
func (r rendered) VisitGetItemResponse(w http.ResponseWriter) error      { return r.write(w) }
func (r rendered) VisitCreateItemResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitReplaceItemResponse(w http.ResponseWriter) error  { return r.write(w) }
func (r rendered) VisitGetOpenAPIResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitCreateSizingResponse(w http.ResponseWriter) error { return r.write(w) }
func (r rendered) VisitCreateSweepResponse(w http.ResponseWriter) error  { return r.write(w) }
func (r rendered) VisitCreateReachResponse(w http.ResponseWriter) error  { return r.write(w) }

// listPage is a page of a list whose entries are rendered already. They are put together in a buffer that is used again:
// a page of a hundred items is 60 kB.
type listPage struct {
	tag     string
	link    string
	entries [][]byte
	next    string // cursor; empty on the last page
}

var pageBuffers = sync.Pool{New: func() any { return new([]byte) }}

// VisitListItemsResponse implements [ListItemsResponseObject].
func (p listPage) VisitListItemsResponse(w http.ResponseWriter) error {
	buffer := pageBuffers.Get().(*[]byte)
	defer pageBuffers.Put(buffer)
	*buffer = appendPage((*buffer)[:0], p.entries, p.next)
	return rendered{status: http.StatusOK, tag: p.tag, link: p.link, body: *buffer}.write(w)
}

// csvFile is a CSV download.
type csvFile struct {
	name string // made of a house's short name and a kind: nothing in it needs quoting
	tag  string
	link string
	body []byte
}

// VisitListItemsResponse implements [ListItemsResponseObject].
func (f csvFile) VisitListItemsResponse(w http.ResponseWriter) error {
	if f.link != "" {
		w.Header().Set("Link", f.link)
	}
	return f.VisitExportItemsResponse(w)
}

// VisitExportItemsResponse implements [ExportItemsResponseObject].
func (f csvFile) VisitExportItemsResponse(w http.ResponseWriter) error {
	w.Header().Set("ETag", f.tag)
	w.Header().Set("Content-Type", csvType+"; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="`+f.name+`"`)
	w.Header().Set("Content-Length", strconv.Itoa(len(f.body)))
	w.WriteHeader(http.StatusOK)
	_, err := w.Write(f.body)
	return err
}
