package rest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"kitspan/internal/fault"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/shotlist"
)

const (
	xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	// maxShotFile is the largest file of shots: 500 with a forecast of their own each are 3 MB.
	maxShotFile  = 4 << 20
	shotFilePath = "/v1/jobs/:job/shots.csv"
)

// checkShotFile refuses what is no file of shots before it is read, and tells the handler which it is.
func checkShotFile(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if c.Path() != shotFilePath || r.Method != http.MethodPut {
			return next(c)
		}
		media := xlsxType
		if err := wantContentType(r, xlsxType); err != nil {
			if err := wantContentType(r, csvType); err != nil {
				return refuse(ReasonUnsupportedMedia, "The Content-Type is %s: send %s in UTF-8, or %s.", cut(r.Header.Get(echo.HeaderContentType)), csvType, xlsxType)
			}
			media = csvType
		}
		if r.ContentLength > maxShotFile {
			return &http.MaxBytesError{Limit: maxShotFile}
		}
		r.Header.Set(echo.HeaderContentType, csvType) // by which generated code knows the body, whichever it is
		c.SetRequest(r.WithContext(context.WithValue(r.Context(), fileKey{}, media)))
		return next(c)
	}
}

type fileKey struct{}

// ExportShots writes the shots of a job as CSV.
func (s *Server) ExportShots(ctx context.Context, req ExportShotsRequestObject) (ExportShotsResponseObject, error) {
	decimal := deref(req.Params.Decimal)
	if req.Params.Decimal != nil && decimal != ExportShotsParamsDecimalComma && decimal != ExportShotsParamsDecimalPoint {
		return nil, malformed([]Fault{faultOf("decimal", fault.NotOneOf{Got: cut(string(decimal)), Words: []string{string(ExportShotsParamsDecimalPoint), string(ExportShotsParamsDecimalComma)}})})
	}
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	if tag := versionTag(kept.Version); matchesTag(deref(req.Params.IfNoneMatch), tag) {
		return notModified(tag), nil
	}
	var file bytes.Buffer
	if err := shotlist.Write(&file, kept.Draft.Shots, decimal == ExportShotsParamsDecimalComma); err != nil {
		return nil, fmt.Errorf("write the shots of job %s: %w", kept.ID, err)
	}
	return shotFile{name: "shots-" + kept.ID + ".csv", tag: versionTag(kept.Version), body: file.Bytes()}, nil
}

// shotFile is a CSV download under a strong tag.
type shotFile csvFile

// VisitExportShotsResponse implements [ExportShotsResponseObject].
func (f shotFile) VisitExportShotsResponse(w http.ResponseWriter) error {
	httpchain.Uncoded(w.Header())
	return csvFile(f).VisitExportItemsResponse(w)
}

// VisitExportShotsResponse implements [ExportShotsResponseObject].
func (r rendered) VisitExportShotsResponse(w http.ResponseWriter) error { return r.write(w) }

// ImportShots puts the shots of a file in the place of the job's, or says what that would change.
func (s *Server) ImportShots(ctx context.Context, req ImportShotsRequestObject) (ImportShotsResponseObject, error) {
	check := deref(req.Params.Check)
	expect := job.Expect{Any: true}
	if !check || req.Params.IfMatch != nil {
		var err error
		if expect, err = expectOf(req.Params.IfMatch); err != nil {
			return nil, err
		}
	}
	table, err := s.readShots(ctx, req.Body)
	if err != nil {
		return nil, err
	}
	var changes shotlist.Changes
	edit := func(kept *job.Stored) error {
		before := kept.Draft.Shots
		if err := job.SetShots(expect, table.Shots)(kept); err != nil {
			return err
		}
		changes = shotlist.Compare(before, table.Shots)
		return nil
	}
	kept, faults, err := s.lookAtShots(ctx, req.Job, edit)
	if err == nil && len(table.Faults(faults)) == 0 && !check {
		kept, err = s.jobs.ChangeJob(ctx, req.Job, edit)
	}
	if unsound := (*job.UnsoundError)(nil); errors.As(err, &unsound) { // the job has changed since the look
		faults, err = unsound.Faults, nil
	}
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	if faults := table.Faults(faults); len(faults) > 0 {
		return nil, fileRefusal(faults)
	}
	out := ShotChanges{
		Stored: !check, Added: orEmpty(changes.Added), Changed: orEmpty(changes.Changed), Removed: orEmpty(changes.Removed),
		Unchanged: changes.Unchanged, Reordered: changes.Reordered,
	}
	return versioned(http.StatusOK, kept.Version, out)
}

// VisitImportShotsResponse implements [ImportShotsResponseObject].
func (r rendered) VisitImportShotsResponse(w http.ResponseWriter) error { return r.write(w) }

// lookAtShots returns the job as it is, and what would be wrong with it after the edit.
func (s *Server) lookAtShots(ctx context.Context, id string, edit job.Edit) (job.Stored, []fault.Fault, error) {
	kept, err := s.jobs.Job(ctx, id)
	if err != nil {
		return job.Stored{}, nil, err
	}
	_, faults, err := kept.Look(edit)
	return kept, faults, err
}

// readShots reads a file of shots. Workbooks, which cost many times their size while they are read, take turns.
func (s *Server) readShots(ctx context.Context, body io.Reader) (*shotlist.Table, error) {
	file, err := io.ReadAll(body)
	if err != nil {
		return nil, fmt.Errorf("read body: %w", err)
	}
	if media, _ := ctx.Value(fileKey{}).(string); media != xlsxType {
		return shotlist.Read(file), nil
	}
	if err := s.workbooks.Acquire(ctx, 1); err != nil {
		return nil, &Refusal{Reason: ReasonBusy, Detail: "Too many workbooks are being read. Send it again after the time in Retry-After.", cause: err}
	}
	defer s.workbooks.Release(1)
	return shotlist.ReadXLSX(file), nil
}

// fileRefusal lists what is wrong with a file, the first hundred.
func fileRefusal(list []fault.Fault) error {
	n, where := len(list), "places of the file are"
	if n == 1 {
		where = "place of the file is"
	}
	r := refuse(ReasonInvalid, "%s %s wrong; nothing was stored.", strconv.Itoa(n), where)
	if n > maxFaults {
		r.Detail += fmt.Sprintf(" The first %d are listed.", maxFaults)
		list = list[:maxFaults]
	}
	r.Faults = faultsOf(list)
	return r
}

func orEmpty(list []string) []string { return append([]string{}, list...) }
