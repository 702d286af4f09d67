package rest

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// ListJobs serves a page of jobs.
func (s *Server) ListJobs(ctx context.Context, req ListJobsRequestObject) (ListJobsResponseObject, error) {
	limit, after, faults := pageOf(req.Params.Limit, req.Params.Cursor)
	mark, ok := markOf(after)
	if !ok && len(faults) == 0 {
		faults = append(faults, faultOf("cursor", fault.Other{Says: "is not one of this list: send next_cursor as it came, or start without"}))
	}
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	jobs, err := s.jobs.Jobs(ctx, limit+1, mark)
	if err != nil {
		return nil, jobRefusal(err, "", nil)
	}
	out := JobPage{Items: []JobEntry{}}
	for i, l := range jobs {
		if i == limit {
			last := jobs[i-1].Mark()
			next := cursorAfter(last.Created.Format(time.RFC3339Nano) + " " + last.ID)
			out.NextCursor = &next
			break
		}
		out.Items = append(out.Items, JobEntry{
			Job: l.ID, Name: l.Name, From: dayOf(l.From), To: dayOf(l.To), Shots: l.Shots,
			Created: l.Created.UTC().Format(time.RFC3339), Changed: l.Changed.UTC().Format(time.RFC3339),
		})
	}
	return jsonAnswer(out, req.Params.IfNoneMatch)
}

// markOf reads what stands in the cursor of a list of jobs.
func markOf(after string) (job.Mark, bool) {
	if after == "" {
		return job.Mark{}, true
	}
	at, id, _ := strings.Cut(after, " ")
	created, err := time.Parse(time.RFC3339Nano, at)
	return job.Mark{Created: created, ID: id}, err == nil && job.IsID(id)
}

// dayOf is a day as text; nil for none.
func dayOf(d catalog.Date) *string {
	if d == (catalog.Date{}) {
		return nil
	}
	day := d.String()
	return &day
}

// CreateJob keeps a job, once per idempotency key where there is one.
func (s *Server) CreateJob(ctx context.Context, req CreateJobRequestObject) (CreateJobResponseObject, error) {
	draft, faults := jobDraftOf(req.Body)
	faults = append(bare(faults), keyFaults(req.Params.IdempotencyKey)...)
	if excess := excessOf(ctx); len(faults)+len(excess) > 0 {
		_, unsound := draft.Resolve()
		return nil, invalid(append(append(faults, faultsOf(job.Bare(unsound))...), excess...))
	}
	text, err := json.Marshal(draft)
	if err != nil {
		return nil, err
	}
	digest := sha256.Sum256(text)
	stored, err := s.jobs.CreateJob(ctx, draft, deref(req.Params.IdempotencyKey), digest[:])
	if err != nil {
		return nil, jobRefusal(err, "", job.Bare)
	}
	return madeJob(stored)
}

// DuplicateJob keeps a copy of a job.
func (s *Server) DuplicateJob(ctx context.Context, req DuplicateJobRequestObject) (DuplicateJobResponseObject, error) {
	if faults := keyFaults(req.Params.IdempotencyKey); len(faults) > 0 {
		return nil, invalid(faults)
	}
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	digest := sha256.Sum256([]byte("duplicate " + kept.ID))
	stored, err := s.jobs.CreateJob(ctx, kept.Draft.Copy(), deref(req.Params.IdempotencyKey), digest[:])
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	return madeJob(stored)
}

func keyFaults(key *string) []Fault {
	if key == nil || *key != "" && len(*key) <= 200 && plausibleText(*key) {
		return nil
	}
	return []Fault{faultOf("Idempotency-Key", fault.Other{Says: "give 1 to 200 printable characters, new for every new job, or leave it out"})}
}

// GetJob reads one job as it was said.
func (s *Server) GetJob(ctx context.Context, req GetJobRequestObject) (GetJobResponseObject, error) {
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	return unlessMatched(kept.Version, req.Params.IfNoneMatch, kept.Draft)
}

// ReplaceJob changes a job that is still in the state that the client knows.
func (s *Server) ReplaceJob(ctx context.Context, req ReplaceJobRequestObject) (ReplaceJobResponseObject, error) {
	expect, err := expectOf(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, faults := jobDraftOf(req.Body)
	stored, err := s.changeJob(ctx, req.Job, job.Replace(expect, draft), bare(faults), job.Bare)
	if err != nil {
		return nil, err
	}
	return versioned(http.StatusOK, stored.Version, stored.Draft)
}

// DeleteJob removes a job that is still in the state that the client knows.
func (s *Server) DeleteJob(ctx context.Context, req DeleteJobRequestObject) (DeleteJobResponseObject, error) {
	expect, err := expectOf(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if err := s.jobs.DeleteJob(ctx, req.Job, expect); err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	return DeleteJob204Response{}, nil
}

// bare is [job.Bare] for faults of a body's money.
func bare(faults []Fault) []Fault {
	for i := range faults {
		faults[i].Pointer = strings.TrimPrefix(faults[i].Pointer, job.Pointer)
	}
	return faults
}

// expectOf reads If-Match as versions. What is no tag of these is none that anything is at.
func expectOf(header *string) (job.Expect, error) {
	m, err := ifMatch(header)
	expect := job.Expect{Any: m.any}
	for _, tag := range m.tags {
		if v, err := strconv.ParseInt(strings.Trim(tag, `"`), 10, 64); err == nil && versionTag(v) == tag {
			expect.Versions = append(expect.Versions, v)
		}
	}
	return expect, err
}

// versionTag is the ETag of a job or a shot. It is strong: whoever has it has the very bytes.
func versionTag(version int64) string { return strconv.Quote(strconv.FormatInt(version, 10)) }

// versioned is an answer with what is at a version.
func versioned(status int, version int64, v any) (rendered, error) {
	body, err := json.Marshal(v)
	return rendered{status: status, tag: versionTag(version), body: append(body, '\n')}, err
}

// unlessMatched is [versioned], or 304 where the client has it by its If-None-Match.
func unlessMatched(version int64, ifNoneMatch *string, v any) (rendered, error) {
	if tag := versionTag(version); matchesTag(deref(ifNoneMatch), tag) {
		return notModified(tag), nil
	}
	return versioned(http.StatusOK, version, v)
}

func madeJob(stored job.Stored) (rendered, error) {
	answer, err := versioned(http.StatusCreated, stored.Version, stored.Draft)
	answer.location = "/v1/jobs/" + stored.ID
	return answer, err
}

// The operations on jobs that answer with it.
func (r rendered) VisitListJobsResponse(w http.ResponseWriter) error     { return r.write(w) }
func (r rendered) VisitCreateJobResponse(w http.ResponseWriter) error    { return r.write(w) }
func (r rendered) VisitDuplicateJobResponse(w http.ResponseWriter) error { return r.write(w) }
func (r rendered) VisitGetJobResponse(w http.ResponseWriter) error       { return r.write(w) }
func (r rendered) VisitReplaceJobResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitOrderShotsResponse(w http.ResponseWriter) error   { return r.write(w) }
func (r rendered) VisitListShotsResponse(w http.ResponseWriter) error    { return r.write(w) }
func (r rendered) VisitAddShotsResponse(w http.ResponseWriter) error     { return r.write(w) }
func (r rendered) VisitGetShotResponse(w http.ResponseWriter) error      { return r.write(w) }
func (r rendered) VisitReplaceShotResponse(w http.ResponseWriter) error  { return r.write(w) }
