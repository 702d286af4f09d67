// Package docs_test holds what the documentation prints to what the program does: the worked example, the settings, the defaults,
// the attributes of the catalogue, and the links. After a change that is meant, go test ./docs -update writes the printed parts anew.
package docs_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/light"
	"kitspan/internal/postgres/pgtest"
	"kitspan/internal/rigging"
)

var update = flag.Bool("update", false, "write the parts of the documents that the program prints")

const readme = "../README.md"

// work is a folder that goes with the tests.
var work string

func TestMain(m *testing.M) {
	var err error
	if work, err = os.MkdirTemp("", "kitspan-docs-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	pgtest.Main(m, func() {
		if err := os.RemoveAll(work); err != nil {
			fmt.Fprintln(os.Stderr, err)
		}
	})
}

// built makes the program once.
var built = sync.OnceValues(func() (string, error) {
	program := filepath.Join(work, "api")
	if out, err := exec.Command("go", "build", "-o", program, "../cmd/api").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return program, nil
})

// api runs the program in an environment without settings of ours.
func api(t *testing.T, stdin string, args ...string) string {
	t.Helper()
	program, err := built()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), program, args...)
	cmd.Env = slices.DeleteFunc(os.Environ(), func(e string) bool { return strings.HasPrefix(e, "KITSPAN_") })
	cmd.Dir = ".."
	cmd.Stdin = strings.NewReader(stdin)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("api %s: %v\n%s", strings.Join(args, " "), err, &errs)
	}
	return string(out)
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// printed compares the part of a document between the comments <!-- mark --> and <!-- end --> with what it should be.
func printed(t *testing.T, path, mark, want string) {
	t.Helper()
	text := read(t, path)
	open := "<!-- " + mark + " -->\n"
	start := strings.Index(text, open)
	if start < 0 {
		t.Fatalf("%s has no %q", path, open)
	}
	start += len(open)
	length := strings.Index(text[start:], "<!-- end -->")
	if length < 0 {
		t.Fatalf("%s: %q has no end", path, mark)
	}
	got := text[start : start+length]
	if got == want {
		return
	}
	if *update {
		if err := os.WriteFile(path, []byte(text[:start]+want+text[start+length:]), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(g), len(w)) {
		line := func(s []string) string {
			if i < len(s) {
				return s[i]
			}
			return "(nothing)"
		}
		if line(g) != line(w) {
			t.Fatalf("%s, %s, is not what the program prints (if the change is meant: go test ./docs -update)\nline %d there: %s\nprinted now: %s",
				path, mark, i+1, line(g), line(w))
		}
	}
}

func TestTheWorkedExamplePrintsThePlan(t *testing.T) {
	const shot = "docs/examples/01-two-anglers.json"
	plan := api(t, "", "size", "--text", shot)
	printed(t, "worked-example.md", "plan: "+shot, "```text\n"+plan+"```\n")
}

// The plan of a job, whose cautions are those of the worked example.
func TestReadmeAndJobsPrintThePlan(t *testing.T) {
	const file = "docs/jobs/estuary.json"
	plan, cautions, ok := strings.Cut(api(t, "", "plan", file, "--text"), "\nCautions:\n")
	if !ok || cautions == "" {
		t.Fatal("a plan without cautions")
	}
	printed(t, "jobs.md", "job: "+file, "```text\n"+plan+"```\n")
	// What the README's head lets through.
	const lines = 20
	head := strings.SplitAfterN(plan, "\n", lines+1)[:lines]
	printed(t, readme, "short: "+file, "```text\n"+strings.Join(head, "")+"```\n")
}

// The quote of a job, whose cautions are those of the worked example.
func TestQuotesPrintTheQuote(t *testing.T) {
	const file = "docs/jobs/salt-pans.json"
	quote, cautions, ok := strings.Cut(api(t, "", "quote", file, "--text"), "\nCautions:\n")
	if !ok || cautions == "" {
		t.Fatal("a quote without cautions")
	}
	printed(t, "quotes.md", "quote: "+file, "```text\n"+quote+"```\n")
}

// TestApiPrintsTables runs the two commands of docs/api.md; their cautions, which the worked example has in full, are left out there.
func TestApiPrintsTables(t *testing.T) {
	const shot = "docs/examples/01-two-anglers.json"
	for _, args := range []string{
		"sweep " + shot + " --step-min 60 --text",
		"reach " + shot + " --frame QG-FRAME-08X08,QG-FRAME-12X12,QG-FRAME-20X40,QG-FRAME-03X03 --text",
	} {
		text, cautions, ok := strings.Cut(api(t, "", strings.Fields(args)...), "\nCautions:\n")
		if !ok || !strings.Contains(cautions, "estimate") {
			t.Errorf("api %s prints no cautions", args)
		}
		printed(t, "api.md", args, "```text\n"+text+"\nCautions: …\n```\n")
	}
}

func TestEverySettingIsNamed(t *testing.T) {
	variable := regexp.MustCompile(`\$(KITSPAN_[A-Z_]+)`)
	flags := regexp.MustCompile(`(?m)^\s+(--[a-z-]+)`)
	text := read(t, "running.md")
	seen := 0
	for _, command := range []string{"serve", "size", "sweep", "reach", "items", "migrate", "seed"} {
		if !strings.Contains(text, "`api "+command) {
			t.Errorf("running.md has no command %s", command)
		}
		help := api(t, "", command, "--help")
		for _, found := range [][][]string{variable.FindAllStringSubmatch(help, -1), flags.FindAllStringSubmatch(help, -1)} {
			for _, f := range found {
				if seen++; !strings.Contains(text, "`"+f[1]) {
					t.Errorf("running.md does not name %s of api %s", f[1], command)
				}
			}
		}
	}
	if seen < 15 {
		t.Errorf("only %d flags and variables found in --help", seen)
	}
	known := api(t, "", "serve", "--help")
	for _, f := range regexp.MustCompile("\\| `(KITSPAN_[A-Z_]+)` \\|").FindAllStringSubmatch(text, -1) {
		if !strings.Contains(known, f[1]) {
			t.Errorf("running.md names %s, which no command has", f[1])
		}
	}
}

// TestCatalogueTables compares with [catalog.Spec.Fields].
func TestCatalogueTables(t *testing.T) {
	for _, kind := range catalog.Kinds() {
		fields := catalog.NewSpec(kind).Fields()
		table := "| attribute | value | what it is |\n|---|---|---|\n"
		for _, f := range fields {
			table += fmt.Sprintf("| `%s` | %s | %s |\n", f.Name, f.Rule, f.Means)
		}
		if len(fields) == 0 {
			table = "No attributes of its own.\n"
		}
		printed(t, "catalogue.md", "fields: "+string(kind), table)
	}
}

// TestDefaults reads the table of defaults and compares each number with the echo of a request that leaves it out.
func TestDefaults(t *testing.T) {
	const least = `{"house": "quayside", "shot": {"site": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"},
		"window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}, "camera": {"bearing_deg": 258},
		"framing": {"width_m": 8, "distance_m": 9}}}`
	var answer struct{ Shot map[string]any }
	if err := json.Unmarshal([]byte(api(t, least, "size", "-")), &answer); err != nil {
		t.Fatal(err)
	}
	compared := 0
	text := read(t, "how-it-computes.md")
	table := text[strings.Index(text, "| field | default |"):]
	table = table[:strings.Index(table, "\n\n")]
	for _, row := range regexp.MustCompile("(?m)^\\| `([a-z_.]+)` \\| ([^|]+) \\|").FindAllStringSubmatch(table, -1) {
		var value any = answer.Shot
		for part := range strings.SplitSeq(row[1], ".") {
			group, _ := value.(map[string]any)
			value = group[part]
		}
		said := strings.TrimSuffix(strings.Fields(row[2])[0], ",")
		switch v := value.(type) {
		case nil:
			t.Errorf("the answer has no %s", row[1])
		case float64:
			if want, err := strconv.ParseFloat(said, 64); err != nil || math.Abs(want-v) > 1e-9 {
				t.Errorf("%s: printed %s, the program takes %v", row[1], said, v)
			}
		case string:
			if said != "`"+v+"`" {
				t.Errorf("%s: printed %s, the program takes %s", row[1], said, v)
			}
		case bool:
			if said != strconv.FormatBool(v) {
				t.Errorf("%s: printed %s, the program takes %v", row[1], said, v)
			}
		default:
			t.Errorf("%s is a %T", row[1], value)
		}
		compared++
	}
	if compared < 20 {
		t.Errorf("only %d defaults compared", compared)
	}
}

// TestFriction prints the table of grounds.
func TestFriction(t *testing.T) {
	var b strings.Builder
	b.WriteString("| ground | μ | stakes | source |\n|---|---|---|---|\n")
	for _, g := range append(slices.Clone(rigging.Grounds), rigging.GroundOf("")) {
		word, stakes := "`"+g.Word+"`", "no"
		if g.Word == "" {
			word = "a reflectance alone"
		}
		if g.Stakes {
			stakes = "yes"
		}
		fmt.Fprintf(&b, "| %s | %.2f | %s | %s |\n", word, g.Friction, stakes, g.Source)
	}
	printed(t, "how-it-computes.md", "friction: made by go test ./docs -update", b.String())
}

func TestGrounds(t *testing.T) {
	text := read(t, "how-it-computes.md")
	for _, word := range light.Grounds() {
		reflectance, _ := light.GroundReflectance(word)
		if row := fmt.Sprintf("| `%s` | %.2f |", word, reflectance); !strings.Contains(text, row) {
			t.Errorf("no row %s", row)
		}
	}
}

// TestLinks follows the links between files.
func TestLinks(t *testing.T) {
	pages, err := filepath.Glob("*.md")
	if err != nil {
		t.Fatal(err)
	}
	link := regexp.MustCompile(`\]\(([^)#\s]+)(#[^)]*)?\)`)
	followed := 0
	for _, page := range append(pages, readme, "../DEVELOPERS.md", "../deploy/README.md") {
		for _, found := range link.FindAllStringSubmatch(read(t, page), -1) {
			if strings.Contains(found[1], "://") {
				continue
			}
			if _, err := os.Stat(filepath.Join(filepath.Dir(page), found[1])); err != nil {
				t.Errorf("%s: %v", page, err)
			}
			followed++
		}
	}
	if followed < 10 {
		t.Errorf("only %d links followed", followed)
	}
}
