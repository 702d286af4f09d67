package draw_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/web/draw"
)

// dayOf is a day with shots that are rigged, shot and struck at minutes of it.
func dayOf(shots map[string][4]int, numbers []string, clash bool) *job.Plan {
	midnight := time.Date(2027, 6, 15, 0, 0, 0, 0, time.UTC)
	at := func(minute int) time.Time { return midnight.Add(time.Duration(minute) * time.Minute) }
	plan := &job.Plan{Days: []job.Day{{Date: catalog.Date{Year: 2027, Month: 6, Day: 15}}}}
	for _, number := range numbers {
		m := shots[number]
		o := &sizing.Option{Window: shot.WindowBetween(at(m[1]), at(m[2]))}
		plan.Shots = append(plan.Shots, job.PlannedShot{Number: number, Option: o, Up: job.Span{From: at(m[0]), To: at(m[3])}})
		plan.Days[0].Moments = append(plan.Days[0].Moments, job.Moment{Span: job.Span{From: at(m[0]), To: at(m[3])}, Shots: []string{number}, People: 3})
	}
	if clash {
		plan.Clashes = []job.Clash{{Span: job.Span{From: at(700), To: at(720)}, Shots: numbers, Short: 1}}
	}
	return plan
}

func TestADayOfAJobIsDrawnToScale(t *testing.T) {
	svg := draw.JobDay(dayOf(map[string][4]int{"1": {600, 660, 720, 750}, "2": {780, 840, 900, 960}}, []string{"1", "2"}, true), 0, metric)
	wellMade(t, "jobday-2027-06-15", svg)
	var unit, left float64
	parts := map[string]int{}
	for _, e := range read(t, svg) {
		name := e.attr["data-part"]
		parts[name]++
		if e.attr["data-shot"] != "1" {
			continue
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, point := range strings.Fields(e.attr["points"]) {
			across, _, _ := strings.Cut(point, ",")
			x, err := strconv.ParseFloat(across, 64)
			if err != nil {
				t.Fatal(err)
			}
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
		switch name {
		case "rig": // 60 minutes from the left edge on
			unit, left = (hi-lo)/60, lo
		case "shoot":
			if math.Abs((hi-lo)/unit-60) > 0.1 || math.Abs((lo-left)/unit-60) > 0.1 {
				t.Errorf("shooting is drawn from %.2f to %.2f, at %.3f a minute", lo, hi, unit)
			}
		case "strike":
			if math.Abs((hi-lo)/unit-30) > 0.1 {
				t.Errorf("striking is drawn from %.2f to %.2f, at %.3f a minute", lo, hi, unit)
			}
		}
	}
	if parts["rig"] != 2 || parts["shoot"] != 2 || parts["strike"] != 2 || parts["short"] != 1 || parts["people"] != 1 {
		t.Errorf("parts are %v", parts)
	}
	if !strings.Contains(svg, "Shot 2: rigging from 13:00, shooting 14:00 to 15:00, struck by 16:00.") {
		t.Error("its text does not say the same")
	}
}

// However many shots, however long their numbers, over midnight or within a quarter of an hour: no label lies on another or off the paper.
func TestNoLabelOfADayLiesOnAnother(t *testing.T) {
	numbers := []string{strings.Repeat("W", 40)}
	many := map[string][4]int{numbers[0]: {1300, 1390, 1500, 1560}}
	for i := range 24 {
		n := strconv.Itoa(i) + "A"
		numbers = append(numbers, n)
		many[n] = [4]int{300 + 20*i, 330 + 20*i, 340 + 20*i, 400 + 20*i}
	}
	for _, list := range [][]string{numbers, numbers[:1], numbers[1:2]} {
		wellMade(t, "jobday-2027-06-15", draw.JobDay(dayOf(many, list, false), 0, metric))
	}
	wellMade(t, "jobday-2027-06-15", draw.JobDay(dayOf(map[string][4]int{"1": {600, 601, 602, 603}}, []string{"1"}, true), 0, metric))
	if svg := draw.JobDay(dayOf(nil, nil, false), 0, metric); svg != "" {
		t.Errorf("a day without shots is drawn: %s", svg)
	}
}
