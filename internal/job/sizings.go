package job

// Sizings returns how often [Make] sizes each shot before anything is chosen: once, a movable one at each of its starts. It is what planning
// the job takes, far more than anything after it.
func (j *Job) Sizings() []int {
	n := make([]int, len(j.Shots))
	for s := range j.Shots {
		n[s] = 1
		if w := j.Shots[s].When; w != nil {
			n[s] = len(w.starts(j.Shots[s].Window.From.Location()))
		}
	}
	return n
}
