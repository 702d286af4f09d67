package shot_test

import (
	"kitspan/internal/fault"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

func init() { shot.Said = func(f fault.Fault) string { return text.Fault(text.Metres, f) } }
