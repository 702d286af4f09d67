package shot

import "testing"

func TestBackAndSoftnessHaveDefaults(t *testing.T) {
	for name, tc := range map[string]struct {
		look    DraftLook
		widthM  float64
		back    string
		level   *float64
		softDeg float64
	}{
		"a close-up, nothing said":    {DraftLook{}, 1.2, BackPreferred, ptr(0.5), 20},
		"a medium shot":               {DraftLook{}, 1.3, BackPreferred, ptr(0.5), 10},
		"a wide one":                  {DraftLook{}, 2.6, BackPreferred, ptr(0.5), 5},
		"a level is required":         {DraftLook{BackStops: ptr(-1.0)}, 3, BackRequired, ptr(-1.0), 5},
		"or preferred":                {DraftLook{BackStops: ptr(-1.0), Back: ptr(BackPreferred)}, 3, BackPreferred, ptr(-1.0), 5},
		"the usual level is required": {DraftLook{Back: ptr(BackRequired)}, 3, BackRequired, ptr(0.5), 5},
		"no matter":                   {DraftLook{AnyBack: true}, 3, BackPreferred, nil, 5},
		"as soft as is said":          {DraftLook{SoftDeg: ptr(33.0)}, 3, BackPreferred, ptr(0.5), 33},
	} {
		t.Run(name, func(t *testing.T) {
			var r resolver
			l := resolveLook(&r, tc.look, tc.widthM, 0)
			if len(r.faults) > 0 || l.Back != tc.back || l.SoftDeg != tc.softDeg {
				t.Errorf("back %s, soft %v, faults %v", l.Back, l.SoftDeg, r.faults)
			}
			if (l.BackStops == nil) != (tc.level == nil) || l.BackStops != nil && *l.BackStops != *tc.level {
				t.Errorf("back level %v, wanted %v", l.BackStops, tc.level)
			}
		})
	}
}
