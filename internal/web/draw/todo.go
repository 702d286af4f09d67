package draw

import "kitspan/internal/sizing"

const blank = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 100" role="img"></svg>`

func Along(r *sizing.Result, o *sizing.Option, u Units) string  { return blank }
func Across(r *sizing.Result, o *sizing.Option, u Units) string { return blank }
func Lens(r *sizing.Result, o *sizing.Option, u Units) string   { return blank }
func Levels(r *sizing.Result, o *sizing.Option, u Units) string { return blank }
func Day(s *sizing.SweepResult, u Units) string                 { return blank }
