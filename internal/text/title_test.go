package text_test

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// A title names what is there: nothing is called reflectors where there are none.
func TestTitlesNameWhatIsThere(t *testing.T) {
	for _, c := range []struct {
		label sizing.Label
		roles []finding.Role
		want  string
	}{
		{sizing.LabelReflectors, []finding.Role{finding.RoleReflector, finding.RoleBlack}, "Reflectors alone"},
		{sizing.LabelReflectors, []finding.Role{finding.RoleFill}, "Reflectors alone"},
		{sizing.LabelReflectors, []finding.Role{finding.RoleBlack, finding.RoleCameraShade}, "Black panels alone"},
		{sizing.LabelReflectors, []finding.Role{finding.RoleReflector, finding.RoleLamp}, "Reflectors and lamps"},
		{sizing.LabelReflectors, []finding.Role{finding.RoleLamp, finding.RoleBlack}, "Lamps without an overhead"},
		{sizing.LabelReflectors, []finding.Role{finding.RoleCameraShade}, "The light as it is"},
		{sizing.LabelOverhead, []finding.Role{finding.RoleReflector}, "No overhead needed"},
		{sizing.LabelOverhead, []finding.Role{finding.RoleOverhead}, "On stands"},
	} {
		o := sizing.Option{Label: c.label}
		for _, r := range c.roles {
			o.Pieces = append(o.Pieces, sizing.Piece{Role: r})
		}
		if got := text.Title(&o); got != c.want {
			t.Errorf("%s with %v: %q, want %q", c.label, c.roles, got, c.want)
		}
	}
}
