package text_test

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
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
		{sizing.LabelOtherHour, []finding.Role{finding.RoleOverhead}, "At another hour, 13:15 to 14:00 (asked: 09:00 to 09:45)"},
	} {
		o := sizing.Option{Label: c.label, Window: shot.Window{Start: "13:15", End: "14:00"}}
		for _, r := range c.roles {
			o.Pieces = append(o.Pieces, sizing.Piece{Role: r})
		}
		if got := text.Title(text.Metres, &o, &shot.Window{Start: "09:00", End: "09:45"}); got != c.want {
			t.Errorf("%s with %v: %q, want %q", c.label, c.roles, got, c.want)
		}
	}
}
