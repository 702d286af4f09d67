package text

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/sizing"
)

// WriteJob prints the plan of a job: what it costs, what each shot takes, each day, and what is hired. An error is w's.
func WriteJob(w io.Writer, to Reader, plan *job.Plan) error {
	p := printer{to: to}
	p.jobHead(plan)
	p.jobTable(plan)
	for _, s := range byTime(plan) {
		p.jobShot(s)
	}
	for i := range plan.Days {
		p.jobDay(&plan.Days[i])
	}
	p.jobKit(plan)
	p.clashes(plan)
	p.jobNotes(plan)
	p.cautions(plan.Cautions)
	return p.writeTo(w)
}

func (p *printer) jobHead(plan *job.Plan) {
	to := p.to
	p.say("", "%s: %d shots, %s to %s, kit of %s.", plan.Job.Name, len(plan.Shots), plan.Job.From.String(), plan.Job.To.String(), plan.House.Name)
	if who := productionOf(plan.Job.Production); who != "" {
		p.say("", "For %s.", who)
	}
	for _, says := range Amiss(to, plan) {
		p.line("! ", says)
	}
	p.say("", "The job costs %s: hire %s, people %s, transport %s.", to.money(plan.Total), to.amount(plan.Hire), to.amount(plan.Labour), to.amount(plan.Transport))
	p.say("", "Not in it: tax, hours beyond a day's, fuel and kilometres, insurance, expendables, days of collection and return.")
	if saved := plan.Saved(); saved != nil && plan.Keeps() {
		p.say("", "Each shot by itself, with a crew and vehicles of its own for its day, comes to %s together: sharing saves %s.", to.money(*plan.Separately), to.money(*saved))
	}
	p.line("", HowGood(to, plan))
	p.say("", "At most %d people at once; %.0f kg are hired on the heaviest day.", plan.People, ToNearest(plan.MassKg, 0))
}

// productionOf is who a job is for; empty where nobody is named.
func productionOf(p job.Production) string {
	var said []string
	for _, s := range []string{p.Name, p.Contact, p.Address} {
		if s != "" {
			said = append(said, s)
		}
	}
	return strings.Join(said, ", ")
}

// Amiss says what keeps a plan from being carried out as it stands, a sentence each; none where nothing does.
func Amiss(to Reader, plan *job.Plan) (out []string) {
	var none, over, less []string
	for i := range plan.Shots {
		switch s := &plan.Shots[i]; {
		case s.Option == nil:
			none = append(none, s.Number)
		case s.Option.State == finding.OverLimit:
			over = append(over, s.Number)
		case s.Option.State == finding.DoesLess:
			less = append(less, s.Number)
		}
	}
	if len(none) > 0 {
		out = append(out, to.say("No kit is found for shots: %s. They are not in the total.", strings.Join(none, ", ")))
	}
	if len(over) > 0 {
		out = append(out, to.say("Over a limit of their own or the gust asked, at best: %s.", strings.Join(over, ", ")))
	}
	if len(less) > 0 {
		out = append(out, to.say("Do less than asked, since nothing does it: %s.", strings.Join(less, ", ")))
	}
	if n := len(plan.Clashes); n > 0 {
		out = append(out, to.say("More is needed at once than the house has: see below."))
	}
	for _, n := range plan.Broken {
		out = append(out, Note(to, n))
	}
	return out
}

// jobTable prints a row for each shot.
func (p *printer) jobTable(plan *job.Plan) {
	to := p.to
	number, place := columns(to.say("table|shot")), columns(to.say("table|place"))
	for i := range plan.Shots {
		number, place = max(number, columns(plan.Shots[i].Number)), max(place, columns(plan.Shots[i].Place))
	}
	const form = "%-*s  %-10s  %-11s  %-*s  %-11s  %6s  %s"
	p.line("", "")
	p.row(form, number, to.say("table|shot"), to.say("table|day"), to.say("table|shooting"), place, to.say("table|place"), to.say("table|kit is up"), to.say("table|people"), to.say("table|frame"))
	for _, s := range byTime(plan) {
		if s.Option == nil {
			p.row(form, number, s.Number, "-", "-", place, s.Place, "-", "-", to.say("No kit of this house does it."))
			continue
		}
		w := &s.Option.Window
		p.row(form, number, s.Number, w.Date.String(), w.Start+"–"+w.End, place, s.Place, s.Up.From.Format("15:04")+"–"+s.Up.To.Format("15:04"),
			strconv.Itoa(s.Option.Crew.Total), FirstFrame(to, s.Option))
	}
}

// byTime returns the shots in the order of their times, those without an option last.
func byTime(plan *job.Plan) []*job.PlannedShot {
	out := make([]*job.PlannedShot, len(plan.Shots))
	for i := range plan.Shots {
		out[i] = &plan.Shots[i]
	}
	slices.SortStableFunc(out, func(a, b *job.PlannedShot) int {
		switch {
		case a.Option == nil && b.Option == nil:
			return 0
		case a.Option == nil:
			return 1
		case b.Option == nil:
			return -1
		}
		return a.Option.Window.From.Compare(b.Option.Window.From)
	})
	return out
}

// FirstFrame names the first frame of an option's overheads and sides.
func FirstFrame(to Reader, o *sizing.Option) string {
	if len(o.Summary.Overheads) == 0 {
		return to.say("No overhead")
	}
	return o.Summary.Overheads[0].Frame.Name
}

// HowGood says what is proven of a plan's choice.
func HowGood(to Reader, plan *job.Plan) string {
	n := plan.Considered
	switch {
	case plan.Proven && !plan.Keeps():
		return to.say("Proven: of all choices among the %d options considered none lacks fewer units, breaks the limits by less or, of those, costs less.", n)
	case plan.Proven && plan.Bound != nil:
		return to.say("Proven: of all choices among the %d options considered none costs less.", n)
	case plan.Proven && plan.BoundMassKg != nil:
		return to.say("Proven: of all choices among the %d options considered none weighs less on its heaviest day.", n)
	case plan.Proven:
		return to.say("Proven: of all choices among the %d options considered none takes fewer people at once.", n)
	case plan.Bound != nil:
		return to.say("The best found in the time given; no choice among the %d options considered costs less than %s.", n, to.money(*plan.Bound))
	case plan.BoundMassKg != nil:
		return to.say("The best found in the time given; no choice among the %d options considered weighs less than %.0f kg on its heaviest day.", n, *plan.BoundMassKg)
	case plan.BoundPeople != nil:
		return to.say("The best found in the time given; no choice among the %d options considered takes fewer than %d people at once.", n, *plan.BoundPeople)
	}
	return ""
}

func (p *printer) jobShot(s *job.PlannedShot) {
	to := p.to
	p.line("", "")
	title := to.say("Shot %s, %s", s.Number, s.Place)
	if s.Shot.Name != "" {
		title += ": " + s.Shot.Name
	}
	p.line("", title)
	if s.Option == nil {
		if len(s.Notes) == 0 {
			p.say("   ", "No kit of this house does it.")
		}
		for _, n := range s.Notes {
			p.line("   ", Note(to, n))
		}
		for i := range s.RuledOut {
			p.line("   - ", s.RuledOut[i].SKU+": "+RuledOut(to, &s.RuledOut[i]))
		}
	} else {
		w, o := &s.Option.Window, s.Option
		p.say("   ", "%s, %s to %s; the kit is up from %s to %s.", w.Date.String(), w.Start, w.End, s.Up.From.Format("15:04"), s.Up.To.Format("15:04"))
		state := ""
		if o.State != finding.DoesIt {
			state = " (" + State(to, o) + ")"
		}
		p.line("   ", Title(to, o, &s.Shot.Window)+state+". "+Summary(to, &o.Summary))
		if o.Crew.Total > 0 {
			p.say("   ", "%s: about %d min to rig, %d min to strike.", who(to, o), o.Crew.RigMin, o.Crew.StrikeMin)
		}
		if lower := lowerAt(to, o.Pieces); lower != "" {
			p.line("   ", lower)
		}
		if s.Alone != nil {
			p.say("   ", "Alone, its cheapest option costs %s for the day.", to.money(s.Alone.Total))
		}
		for _, n := range s.Notes {
			p.line("   - ", Note(to, n))
		}
	}
}

func (p *printer) jobDay(d *job.Day) {
	to := p.to
	p.line("", "")
	p.line("", d.Date.String())
	for _, m := range d.Moments {
		if m.Between {
			p.say("   ", "%s to %s: %s count as up at once, for the way between their places; %d people.", m.From.Format("15:04"), m.To.Format("15:04"), to.and(m.Shots), m.People)
			continue
		}
		p.say("   ", "%s to %s: %s; %d people.", m.From.Format("15:04"), m.To.Format("15:04"), strings.Join(m.Shots, ", "), m.People)
	}
	for _, list := range [2][]job.DayLine{d.People, d.Vehicles} {
		for _, l := range list {
			p.say("   ", "%d × %s (%s) at %s: %s", l.Quantity, l.Name, l.SKU, to.amount(l.DayRate), to.amount(l.Amount))
		}
	}
}

// jobKit prints what is hired, the spans of one item below each other.
func (p *printer) jobKit(plan *job.Plan) {
	to := p.to
	if len(plan.Kit) == 0 {
		return
	}
	p.line("", "")
	p.say("", "Hired, each line with the shots that it is for; without one of those in brackets it would be smaller:")
	for i := range plan.Kit {
		l := &plan.Kit[i]
		p.say("   ", "%d × %s (%s), %s, at %s: %s. %s", l.Quantity, l.Name, l.SKU, Days(to, l), to.amount(l.DayRate), to.amount(l.Amount), Users(l))
	}
}

// JobNotes says what is to be known of a plan beside what is amiss, a long day once for all whose rate it is too long for.
func JobNotes(to Reader, plan *job.Plan) (says []string) {
	for i := 0; i < len(plan.Notes); i++ {
		first, long := plan.Notes[i].(finding.LongDay)
		switch {
		case slices.Contains(plan.Broken, plan.Notes[i]):
		case long:
			var names []string
			for ; i < len(plan.Notes); i++ {
				n, same := plan.Notes[i].(finding.LongDay)
				if !same || n.Date != first.Date || n.HoursPerDay != first.HoursPerDay {
					break
				}
				names = append(names, n.Labour.Name)
			}
			i--
			says = append(says, to.say("%s: %.1f hours from the first rigging to the last strike, and the rate of %s is for %.1f. Hours beyond are not in the total.",
				first.Date, first.Hours, to.and(names), first.HoursPerDay))
		default:
			says = append(says, Note(to, plan.Notes[i]))
		}
	}
	return says
}

// jobNotes prints what is to be known.
func (p *printer) jobNotes(plan *job.Plan) {
	says := JobNotes(p.to, plan)
	if len(says) == 0 {
		return
	}
	p.line("", "")
	p.say("", "To be known:")
	for _, s := range says {
		p.line("  - ", s)
	}
}

// Days says from which day to which a line runs, and how many days are charged.
func Days(to Reader, l *job.HireLine) string {
	if l.From == l.To {
		return l.From.String()
	}
	if l.ChargedDays < l.CalendarDays() {
		return to.count("%s to %s, charged as %d day", "%s to %s, charged as %d days", l.ChargedDays, l.From.String(), l.To.String(), l.ChargedDays)
	}
	return to.say("%s to %s, %d days", l.From.String(), l.To.String(), l.ChargedDays)
}

// Users lists the shots that a line is for, those that take its last unit in brackets.
func Users(l *job.HireLine) string {
	last := map[string]bool{}
	for _, n := range l.LastUnitFor {
		last[n] = true
	}
	out := make([]string, len(l.NeededBy))
	for i, n := range l.NeededBy {
		if out[i] = n; last[n] {
			out[i] = "[" + n + "]"
		}
	}
	return strings.Join(out, " ")
}

func (p *printer) clashes(plan *job.Plan) {
	if len(plan.Clashes) == 0 {
		return
	}
	p.line("", "")
	p.say("", "More is needed at once than the house has:")
	for _, says := range Clashes(p.to, plan.Clashes) {
		p.line("  - ", says)
	}
}

// Clashes says what is missing when, and what would help, a sentence for each time and its shots.
func Clashes(to Reader, list []job.Clash) (out []string) {
	for i := 0; i < len(list); {
		first := &list[i]
		var missing []string
		for ; i < len(list) && list[i].Span == first.Span && sameShift(list[i].ShiftMin, first.ShiftMin); i++ {
			missing = append(missing, strconv.Itoa(list[i].Short)+" × "+list[i].Name)
		}
		says := to.say("%s, %s to %s, shots %s: missing are %s.", first.From.Format("2006-01-02"), first.From.Format("15:04"), first.To.Format("15:04"), to.and(first.Shots), to.and(missing))
		out = append(out, says+resolves(to, first))
	}
	return out
}

func sameShift(a, b *int) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// resolves says when the last of the shots would not be among them, after a space; empty where one shot alone is short.
func resolves(to Reader, c *job.Clash) string {
	if len(c.Shots) < 2 {
		return ""
	}
	last := c.Shots[len(c.Shots)-1]
	switch {
	case c.ShiftMin == nil:
		return " " + to.say("At no other time of its day would shot %s not lack it.", last)
	case *c.ShiftMin > 0:
		return " " + to.say("Shot %s would not lack it %s later, in another light: plan it there before you move it.", last, Long(to, *c.ShiftMin))
	}
	return " " + to.say("Shot %s would not lack it %s earlier, in another light: plan it there before you move it.", last, Long(to, -*c.ShiftMin))
}

// Long is a time in minutes as people say it: 45 min, 3 h 50 min.
func Long(to Reader, minutes int) string {
	switch h, m := minutes/60, minutes%60; {
	case h == 0:
		return to.say("%d min", m)
	case m == 0:
		return to.say("%d h", h)
	default:
		return to.say("%d h %d min", h, m)
	}
}

// lowerAt says in which gusts the first of the pieces is watched and comes down; empty where nothing stands in the wind.
func lowerAt(to Reader, pieces []sizing.Piece) string {
	if len(pieces) == 0 {
		return ""
	}
	v := weakest(pieces)
	return to.say("Watch from %.1f m/s, first down %s at %.1f m/s.", DownToTenth(v.Hold.WatchAtMS), to.theRole(v.Role), DownToTenth(v.Hold.LowerAtMS))
}
