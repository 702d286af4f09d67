package sizing

import (
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
)

// judge says of an option whether it does what is asked, by what it breaks and gives up.
func (o *Option) judge(s *shot.Shot) {
	switch {
	case len(o.Broken) > 0:
		o.State = finding.OverLimit
	case len(o.GivesUp) > 0:
		o.State = finding.DoesLess
	default:
		o.State = finding.DoesIt
	}
	o.Workable = len(o.Broken) == 0 && (s.Look.Soften != shot.SoftenRequired || !o.GivesUpOn(finding.Softening))
}

// breaks files a limit that the option breaks, which is a note as well.
func (o *Option) breaks(n finding.Note) {
	o.Broken, o.Notes = append(o.Broken, n), append(o.Notes, n)
}

// GivesUpOn reports whether the option does less than the look asks in one of its aspects.
func (o *Option) GivesUpOn(what finding.Aspect) bool {
	return slices.ContainsFunc(o.GivesUp, func(s finding.Shortfall) bool { return s.What == what })
}
