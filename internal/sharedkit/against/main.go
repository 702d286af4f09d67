// Command against compares the choice of a shared kit with a general solver of integer programs: it makes jobs, writes each as an LP file,
// runs both on it one after the other, checks that they agree, and prints the ratio of the processor time that they took.
//
//	go run ./internal/sharedkit/against -shots 40 -options 8 -jobs 3
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"syscall"
	"time"

	"kitspan/internal/sharedkit"
)

func main() {
	var (
		shots   = flag.Int("shots", 40, "shots of a job")
		options = flag.Int("options", 8, "options of a shot")
		jobs    = flag.Int("jobs", 3, "how many jobs")
		seed    = flag.Uint64("seed", 0, "seed of the first job")
		limit   = flag.Duration("limit", 30*time.Second, "processor time after which either is ended")
		name    = flag.String("kind", "usual", "kind of job: usual, hard or movable (with options for each of 20 starts)")
		alone   = flag.Bool("alone", false, "do not run the other solver")
	)
	flag.Parse()
	of, ok := kinds[*name]
	if !ok {
		fmt.Fprintf(os.Stderr, "no kind of job is called %q\n", *name)
		os.Exit(2)
	}
	for k := range *jobs {
		if err := compare(of(*shots, *options, *seed+uint64(k)), *seed+uint64(k), *limit, *alone); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

// compare runs both on one job.
func compare(p *sharedkit.Problem, seed uint64, limit time.Duration, alone bool) error {
	before := used(syscall.RUSAGE_SELF)
	ctx, stop := within(limit)
	defer stop()
	got, err := sharedkit.Choose(ctx, p)
	if err != nil {
		return err
	}
	ours := used(syscall.RUSAGE_SELF) - before
	fmt.Printf("job %d: %d shots: %d minor units, proven %t, bound %d, in %d parts, %.3f s\n",
		seed, len(p.Shots), got.Plan.TotalMinor, got.Proven, got.BoundMinor, got.Nodes, ours.Seconds())
	if alone {
		return nil
	}
	theirs, least, done, err := solve(context.Background(), p, limit)
	if err != nil {
		return err
	}
	switch {
	case !done:
		fmt.Printf("  the other: not proven in %.3f s; ratio over %.1f\n", theirs.Seconds(), theirs.Seconds()/ours.Seconds())
	case got.Proven && least != got.Plan.TotalMinor:
		return fmt.Errorf("job %d: the other finds %d", seed, least)
	default:
		fmt.Printf("  the other: %d in %.3f s; ratio %.1f\n", least, theirs.Seconds(), theirs.Seconds()/ours.Seconds())
	}
	return nil
}

// within is a context that ends when this process has taken so much more processor time, so that what else runs on the machine does not
// count.
func within(limit time.Duration) (context.Context, context.CancelFunc) {
	ctx, stop := context.WithCancel(context.Background())
	end := used(syscall.RUSAGE_SELF) + limit
	go func() {
		for ctx.Err() == nil {
			if time.Sleep(10 * time.Millisecond); used(syscall.RUSAGE_SELF) > end {
				stop()
			}
		}
	}()
	return ctx, stop
}

var objective = regexp.MustCompile(`(?m)^Objective value:\s+([0-9.]+)`)

// solve runs cbc, of Debian's package coinor-cbc.
func solve(ctx context.Context, p *sharedkit.Problem, limit time.Duration) (took time.Duration, least int64, done bool, err error) {
	dir, err := os.MkdirTemp("", "sharedkit")
	if err != nil {
		return 0, 0, false, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // nothing of worth is in it
	name := filepath.Join(dir, "job.lp")
	f, err := os.Create(name)
	if err != nil {
		return 0, 0, false, err
	}
	if err := errors.Join(writeLP(f, p), f.Close()); err != nil {
		return 0, 0, false, err
	}
	before := used(syscall.RUSAGE_CHILDREN)
	out, err := exec.CommandContext(ctx, "cbc", name, "ratioGap", "0", "allowableGap", "0", "seconds", strconv.Itoa(int(limit.Seconds())), "solve", "solution", "/dev/null").CombinedOutput()
	if err != nil {
		return 0, 0, false, fmt.Errorf("cbc (Debian's coinor-cbc): %w: %s", err, out)
	}
	took = used(syscall.RUSAGE_CHILDREN) - before
	found := objective.FindSubmatch(out)
	if found == nil {
		return took, 0, false, nil
	}
	value, err := strconv.ParseFloat(string(found[1]), 64)
	done = regexp.MustCompile(`(?m)^Result - Optimal solution found`).Match(out)
	return took, int64(value + 0.5), done, err
}

// used is the processor time that this process or its children took.
func used(who int) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(who, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
