package job

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"kitspan/internal/fault"
)

// Edit changes the draft of a job that is kept. It puts new values in the place of old ones and leaves what those point to alone: storage
// compares the two. It may run more than once. An error leaves the job as it was.
type Edit func(*Stored) error

// Replace is the edit that puts a draft in the place of the job's.
func Replace(expect Expect, draft Draft) Edit {
	return func(s *Stored) error {
		if !expect.Met(s.Version) {
			return ErrStale
		}
		s.Draft = draft
		return nil
	}
}

// SetShots is the edit that puts shots in the place of all of the job's.
func SetShots(expect Expect, shots []DraftShot) Edit {
	return func(s *Stored) error {
		if !expect.Met(s.Version) {
			return ErrStale
		}
		s.Draft.Shots = shots
		return nil
	}
}

// InsertShots is the edit that adds shots before the one of a number, or at the end where that is empty. Where the job has no such shot the
// edit is an [ErrNoShot].
func InsertShots(before string, shots []DraftShot) Edit {
	return func(s *Stored) error {
		at := len(s.Draft.Shots)
		if before != "" {
			var err error
			if at, err = s.ShotAt(before); err != nil {
				return err
			}
		}
		s.Draft.Shots = slices.Insert(slices.Clone(s.Draft.Shots), at, shots...)
		return nil
	}
}

// ReplaceShot is the edit that puts a shot, of the same number or another, in the place of the one of a number.
func ReplaceShot(number string, expect Expect, shot DraftShot) Edit {
	return func(s *Stored) error {
		at, err := s.expectShot(number, expect)
		if err != nil {
			return err
		}
		s.Draft.Shots = slices.Clone(s.Draft.Shots)
		s.Draft.Shots[at] = shot
		return nil
	}
}

// DeleteShot is the edit that takes the shot of a number out.
func DeleteShot(number string, expect Expect) Edit {
	return func(s *Stored) error {
		at, err := s.expectShot(number, expect)
		if err != nil {
			return err
		}
		s.Draft.Shots = slices.Delete(slices.Clone(s.Draft.Shots), at, at+1)
		return nil
	}
}

// expectShot returns the place of a shot that is in an expected state.
func (s *Stored) expectShot(number string, expect Expect) (int, error) {
	at, err := s.ShotAt(number)
	if err != nil {
		return 0, err
	}
	if !expect.Met(s.ShotVersions[at]) {
		return 0, ErrStale
	}
	return at, nil
}

// OrderShots is the edit that puts the shots into the order of their numbers, each of which must be there once. What is not is an
// [*UnsoundError] whose pointers are those of the list of numbers, from the empty one on.
func OrderShots(expect Expect, numbers []string) Edit {
	return func(s *Stored) error {
		if !expect.Met(s.Version) {
			return ErrStale
		}
		var faults []fault.Fault
		first := map[string]int{}
		ordered := make([]DraftShot, 0, len(numbers))
		for i, n := range numbers {
			at := fmt.Sprintf("/%d", i)
			before, twice := first[n]
			place, err := s.ShotAt(n)
			switch {
			case twice:
				faults = append(faults, fault.Fault{Pointer: at, Kind: fault.Repeated{Got: cut(n), First: fmt.Sprintf("/%d", before)}})
			case err != nil:
				faults = append(faults, fault.Fault{Pointer: at, Kind: fault.NoSuchShot{Got: cut(n)}})
			default:
				first[n] = i
				ordered = append(ordered, s.Draft.Shots[place])
			}
		}
		var without []string
		for _, d := range s.Draft.Shots {
			if _, named := first[*d.Number]; !named {
				without = append(without, *d.Number)
			}
		}
		if len(without) > 0 {
			const few = 12
			faults = append(faults, fault.Fault{Kind: fault.ShotsLeftOut{Count: len(without), Numbers: without[:min(few, len(without))]}})
		}
		if len(faults) > 0 {
			return &UnsoundError{faults}
		}
		s.Draft.Shots = ordered
		return nil
	}
}

// Look returns the job as an edit would leave it, and stores nothing. The faults are those that would keep it from being stored.
func (s Stored) Look(edit Edit) (Stored, []fault.Fault, error) {
	if err := edit(&s); err != nil {
		return Stored{}, nil, err
	}
	_, faults := s.Draft.Resolve()
	return s, faults, nil
}

// copySuffix marks the name of a copy.
const copySuffix = " (copy)"

// Copy returns the draft under the name of a copy.
func (d Draft) Copy() Draft {
	name := ""
	if d.Name != nil {
		name = *d.Name
	}
	for utf8.RuneCountInString(name)+len(copySuffix) > longestName {
		_, size := utf8.DecodeLastRuneInString(name)
		name = name[:len(name)-size]
	}
	name = strings.TrimSpace(name) + copySuffix
	d.Name = &name
	return d
}
