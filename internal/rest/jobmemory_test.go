package rest

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"kitspan/internal/job"
)

// jobMemory is a storage of jobs without a database, for tests of the handlers alone.
type jobMemory struct {
	mu   sync.Mutex
	jobs map[string]job.Stored
	made map[string]time.Time
	keys map[string]madeJobKey
	down error // what every method answers while it is set
}

type madeJobKey struct {
	digest []byte
	id     string
}

func newJobMemory() *jobMemory {
	return &jobMemory{jobs: map[string]job.Stored{}, made: map[string]time.Time{}, keys: map[string]madeJobKey{}}
}

func (m *jobMemory) Jobs(_ context.Context, limit int, after job.Mark) (out []job.Listed, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for id, kept := range m.jobs {
		j, _ := kept.Draft.Resolve()
		out = append(out, job.Listed{ID: id, Name: j.Name, From: j.From, To: j.To, Shots: len(j.Shots), Created: m.made[id], Changed: m.made[id]})
	}
	slices.SortFunc(out, func(a, b job.Listed) int { return cmp.Or(b.Created.Compare(a.Created), cmp.Compare(b.ID, a.ID)) })
	if at := slices.IndexFunc(out, func(l job.Listed) bool { return l.ID == after.ID }); at >= 0 {
		out = out[at+1:]
	}
	return out[:min(limit, len(out))], m.down
}

func (m *jobMemory) Job(_ context.Context, id string) (job.Stored, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	kept, ok := m.jobs[id]
	if m.down == nil && !ok {
		return job.Stored{}, job.ErrNoJob
	}
	return kept, m.down
}

func (m *jobMemory) CreateJob(_ context.Context, draft job.Draft, key string, digest []byte) (job.Stored, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, faults := draft.Resolve(); len(faults) > 0 || m.down != nil {
		return job.Stored{}, cmp.Or(m.down, error(&job.UnsoundError{Faults: faults}))
	}
	if before, used := m.keys[key]; used && key != "" {
		if !bytes.Equal(before.digest, digest) {
			return job.Stored{}, job.ErrKeyReused
		}
		return m.jobs[before.id], nil
	}
	kept := job.Stored{ID: fmt.Sprintf("job%09d", len(m.jobs)), Version: 1, Draft: draft, ShotVersions: slices.Repeat([]int64{1}, len(draft.Shots))}
	m.jobs[kept.ID], m.keys[key], m.made[kept.ID] = kept, madeJobKey{digest, kept.ID}, testDay.Add(time.Duration(len(m.jobs))*time.Minute)
	return kept, nil
}

func (m *jobMemory) ChangeJob(_ context.Context, id string, edit job.Edit) (job.Stored, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	before, ok := m.jobs[id]
	if m.down != nil || !ok {
		return job.Stored{}, cmp.Or(m.down, job.ErrNoJob)
	}
	after, faults, err := before.Look(edit)
	if err != nil || len(faults) > 0 {
		return job.Stored{}, cmp.Or(err, error(&job.UnsoundError{Faults: faults}))
	}
	after.Version++
	after.ShotVersions = nil
	for range after.Draft.Shots {
		after.ShotVersions = append(after.ShotVersions, after.Version) // whatever the edit has changed
	}
	m.jobs[id] = after
	return after, nil
}

func (m *jobMemory) DeleteJob(_ context.Context, id string, expect job.Expect) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	kept, ok := m.jobs[id]
	switch {
	case m.down != nil || !ok:
		return cmp.Or(m.down, job.ErrNoJob)
	case !expect.Met(kept.Version):
		return job.ErrStale
	}
	delete(m.jobs, id)
	return nil
}
