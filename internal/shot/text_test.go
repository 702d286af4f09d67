package shot_test

import (
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

func init() { shot.Said = text.Fault }
