package web

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"kitspan/internal/catalog"
)

const ballastHead = "house,sku,name,mass_kg,packed_m3,owned,replacement,account,form,currency,rates\n"

// bags is a sound file with so many new items.
func bags(n int) string {
	var b strings.Builder
	b.WriteString(ballastHead)
	for i := range n {
		fmt.Fprintf(&b, "quayside,QG-BAG-X%d,Bag %d,5,0.01,4,1.00,2410,bag,EUR,2026-01-01=1.00\n", i, i)
	}
	return b.String()
}

// bagsOf is a sound file of exactly so many bytes: spaces about a cell fill it up, so that there are few items to store.
func bagsOf(t *testing.T, size int) string {
	t.Helper()
	const most = 60_000 // bytes of a row, of which there may be 64 KiB
	var b strings.Builder
	b.WriteString(ballastHead)
	for i := 0; b.Len() < size; i++ {
		row := fmt.Sprintf("quayside,QG-BAG-X%d,Bag%%s,5,0.01,4,1.00,2410,bag,EUR,2026-01-01=1.00\n", i)
		left := size - b.Len()
		if left > most {
			left = min(most, left-most/2) // the last row is never too short
		}
		fmt.Fprintf(&b, row, strings.Repeat(" ", left-(len(row)-2)))
	}
	if b.Len() != size {
		t.Fatalf("a file of %d bytes instead of %d", b.Len(), size)
	}
	return b.String()
}

func (s *site) upload(t *testing.T, path, kind, text string) *page {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	if err := w.WriteField("kind", kind); err != nil {
		t.Fatal(err)
	}
	file, err := w.CreateFormFile("file", "items.csv")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(file, text); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+path, &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	return s.do(t, r)
}

// take sends the form that imports what a page shows.
func (s *site) take(t *testing.T, p *page) *page {
	t.Helper()
	form := p.Find("form.take")
	action, ok := form.Attr("action")
	if !ok {
		t.Fatalf("%d: nothing to import: %q", p.status, p.text("main"))
	}
	version, _ := form.Find("[name=version]").Attr("value")
	return s.post(t, action, url.Values{"version": {version}})
}

// onBoth runs a test with both storages.
func onBoth(t *testing.T, test func(t *testing.T, s *site)) {
	t.Parallel()
	t.Run("in memory", func(t *testing.T) { t.Parallel(); test(t, newSite(t)) })
	t.Run("on a database", func(t *testing.T) { t.Parallel(); test(t, newSiteOnPostgres(t)) })
}

func (s *site) has(t *testing.T, sku string) bool {
	t.Helper()
	switch p := s.get(t, "/catalogue/quayside/"+sku); p.status {
	case http.StatusOK:
		return true
	case http.StatusNotFound:
		return false
	default:
		t.Fatalf("%s: %d", sku, p.status)
		return false
	}
}

func TestAFileIsLookedAtAndThenImported(t *testing.T) {
	onBoth(t, func(t *testing.T, s *site) {
		s.signIn(t)
		p := s.upload(t, "/import/quayside", "ballast", bags(2)+"quayside,QG-BAG-16,Bag,16,0.01,4,1.00,2410,bag,EUR,\n")
		if p.status != http.StatusOK || !strings.Contains(p.text("main"), "2 added, 1 changed, 0 as they are. Nothing is done yet.") {
			t.Errorf("a look: %d %q", p.status, p.text("main"))
		}
		if s.has(t, "QG-BAG-X0") {
			t.Error("a look stored something")
		}
		if again := s.get(t, p.at.Path); again.text("main") != p.text("main") {
			t.Errorf("loaded again: %q", again.text("main"))
		}
		done := s.take(t, p)
		if done.text(".good") != "Done: 2 added, 1 changed, 0 as they were." || !s.has(t, "QG-BAG-X0") {
			t.Errorf("imported: %d %q", done.status, done.text("main"))
		}
		if twice := s.take(t, p); twice.text(".good") != done.text(".good") {
			t.Errorf("imported twice: %d %q", twice.status, twice.text("main"))
		}
	})
}

func TestAFileWithFaultsIsNotKept(t *testing.T) {
	onBoth(t, func(t *testing.T, s *site) {
		s.signIn(t)
		p := s.upload(t, "/import/quayside", "ballast", ballastHead+"quayside,QG-BAG-99,Bag,heavy,0.01,-4,1.00,2410,bag,EUR,2026-01-01=1.00\n"+
			"quayside,QG-BAG-98,Bag,5,0.01,4,1.00,2410,sack,EUR,\n")
		if p.status != http.StatusUnprocessableEntity || p.Find(".summary tbody tr").Length() < 3 || !strings.Contains(p.text(".summary"), "mass_kg") {
			t.Errorf("%d: %q", p.status, p.text(".summary"))
		}
		if p.Find("form.take").Length() != 0 {
			t.Error("it may be imported")
		}
		for what, c := range map[string][3]string{
			"no file":         {"ballast", "", "Choose a file"},
			"blanks":          {"ballast", " \n\n", "Choose a file"},
			"no kind":         {"", bags(1), "Choose what kind"},
			"an unknown kind": {"gold", bags(1), "Choose what kind"},
		} {
			if p := s.upload(t, "/import/quayside", c[0], c[1]); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text(".summary"), c[2]) {
				t.Errorf("%s: %d %q", what, p.status, p.text(".summary"))
			}
		}
	})
}

// What only the house's other items forbid is seen at the look already.
func TestALookSeesWhatTheHouseForbids(t *testing.T) {
	t.Parallel()
	s := newSiteOnPostgres(t)
	s.signIn(t)
	p := s.upload(t, "/import/quayside", "ballast", ballastHead+"quayside,QG-LINE-10,Bag,5,0.01,4,1.00,2410,bag,EUR,\n")
	if p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text(".summary"), "kind line") || p.Find("form.take").Length() != 0 {
		t.Errorf("%d %q", p.status, p.text("main"))
	}
}

// One limit holds for both steps: the largest file that is looked at can be imported.
func TestTheLargestFileIsLookedAtAndImported(t *testing.T) {
	t.Parallel()
	s := newSiteOnPostgres(t)
	s.signIn(t)
	p := s.upload(t, "/import/quayside", "ballast", bagsOf(t, catalog.MaxKeptFile))
	if p.status != http.StatusOK || p.Find("form.take").Length() != 1 {
		t.Fatalf("a look: %d %.200q", p.status, p.text("main"))
	}
	if p = s.take(t, p); !strings.Contains(p.text(".good"), "Done: ") {
		t.Errorf("imported: %d %.200q", p.status, p.text("main"))
	}
}

func TestAFileThatIsTooLargeIsToldSo(t *testing.T) {
	onBoth(t, func(t *testing.T, s *site) {
		s.signIn(t)
		for _, size := range []int{catalog.MaxKeptFile + 1, catalog.MaxKeptFile + maxForm, 3 * catalog.MaxKeptFile} {
			p := s.upload(t, "/import/quayside", "ballast", bagsOf(t, size))
			if p.status != http.StatusRequestEntityTooLarge || !strings.Contains(p.text(".summary"), "larger than 8 MB") || p.Find("#file").Length() != 1 {
				t.Errorf("%d bytes: %d %.200q", size, p.status, p.text("main"))
			}
		}
	})
}

// A client that sends all before it reads is answered as well: the connection is not closed under it.
func TestAFileThatIsTooLargeIsReadToItsEnd(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	const size = 4 * catalog.MaxKeptFile
	body := "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"f\"\r\n\r\n" + strings.Repeat("x", size) + "\r\n--x--\r\n"
	conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", s.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	_, err = fmt.Fprintf(conn, "POST /import/quayside HTTP/1.1\r\nHost: here\r\nCookie: %s\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: %d\r\n\r\n%s",
		staffCookie+"="+s.client.Jar.(*jar).kept[staffCookie].Value, len(body), body)
	if err != nil {
		t.Fatalf("the connection ended while the file was sent: %v", err)
	}
	got, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = got.Body.Close() }()
	if got.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("%d", got.StatusCode)
	}
}

func TestALostRaceIsLookedAtAgain(t *testing.T) {
	onBoth(t, func(t *testing.T, s *site) {
		s.signIn(t)
		p := s.upload(t, "/import/quayside", "ballast", ballastHead+"quayside,QG-BAG-16,Bag,16,0.01,4,1.00,2410,bag,EUR,\n"+
			"quayside,QG-BAG-X0,Bag,5,0.01,4,1.00,2410,bag,EUR,\n")
		if !strings.Contains(p.text("main"), "1 added, 1 changed, 0 as they are") {
			t.Fatalf("a look: %d %q", p.status, p.text("main"))
		}
		other := s.upload(t, "/import/quayside", "ballast", ballastHead+"quayside,QG-BAG-X0,Bag,5,0.01,4,1.00,2410,bag,EUR,\n")
		if done := s.take(t, other); done.text(".good") == "" {
			t.Fatalf("somebody else's import: %d %q", done.status, done.text("main"))
		}
		again := s.take(t, p)
		if again.status != http.StatusConflict || !strings.Contains(again.text("main"), "Somebody else changed the catalogue") ||
			!strings.Contains(again.text("main"), "0 added, 1 changed, 1 as they are. Nothing is done yet.") {
			t.Errorf("a lost race: %d %q", again.status, again.text("main"))
		}
		if got := s.get(t, "/catalogue/quayside/QG-BAG-16").text("h1"); got == "Bag" {
			t.Error("a lost race stored something")
		}
		if done := s.take(t, again); done.text(".good") != "Done: 0 added, 1 changed, 1 as they were." {
			t.Errorf("after the second look: %d %q", done.status, done.text("main"))
		}
	})
}

func TestAFileBelongsToTheSessionThatSentIt(t *testing.T) {
	onBoth(t, func(t *testing.T, s *site) {
		s.signIn(t)
		p := s.upload(t, "/import/quayside", "ballast", bags(1))
		action, _ := p.Find("form.take").Attr("action")
		version, _ := p.Find("form.take [name=version]").Attr("value")
		stranger := *s
		stranger.client = newClient(t)
		for who, status := range map[string]int{"a stranger": http.StatusUnauthorized, "other staff": http.StatusNotFound} {
			if who == "other staff" {
				stranger.signIn(t)
			}
			if got := stranger.get(t, action); got.status != status || strings.Contains(got.text("main"), "added") {
				t.Errorf("%s looks: %d %q", who, got.status, got.text("main"))
			}
			if got := stranger.post(t, action, url.Values{"version": {version}}); got.status != status {
				t.Errorf("%s imports: %d", who, got.status)
			}
			stranger.client = newClient(t)
		}
		if got := s.get(t, strings.Replace(action, "quayside", "northpier", 1)); got.status != http.StatusNotFound {
			t.Errorf("in another house: %d", got.status)
		}
		if got := s.get(t, "/import/quayside/NONE"); got.status != http.StatusNotFound || !strings.Contains(got.text(".summary"), "Choose it again") {
			t.Errorf("a file that never was: %d %q", got.status, got.text("main"))
		}
		if got := s.post(t, action, nil); got.status != http.StatusBadRequest {
			t.Errorf("without a version: %d", got.status)
		}
		if s.has(t, "QG-BAG-X0") {
			t.Error("somebody has imported it")
		}
		if got := s.take(t, p); got.text(".good") == "" {
			t.Errorf("its owner: %d %q", got.status, got.text("main"))
		}
	})
}

// counting is a storage that counts the files that are worked on at once, and works on each until it may go on.
type counting struct {
	*shelf
	now, most atomic.Int64
	entered   chan struct{}
	leave     chan struct{}
}

func (c *counting) LookAtFile(ctx context.Context, house, holder, id string) (catalog.FileLook, error) {
	defer c.now.Add(-1)
	for n := c.now.Add(1); ; {
		if most := c.most.Load(); n <= most || c.most.CompareAndSwap(most, n) {
			break
		}
	}
	c.entered <- struct{}{}
	<-c.leave
	return c.shelf.LookAtFile(ctx, house, holder, id)
}

func TestFewFilesAreWorkedOnAtOnce(t *testing.T) {
	t.Parallel()
	const requests = 4 * filesAtOnce
	store := &counting{entered: make(chan struct{}, requests), leave: make(chan struct{})}
	s := newSiteWith(t, func(o *setup) { store.shelf = o.Storage.(*shelf); o.Storage = store })
	s.signIn(t)
	var all sync.WaitGroup
	for range requests {
		all.Go(func() { s.get(t, "/import/quayside/NONE") })
	}
	for i := range requests {
		<-store.entered
		if i == 0 { // others have had the time to come in
			for range 20 {
				s.get(t, "/cautions")
			}
		}
		store.leave <- struct{}{}
	}
	all.Wait()
	if most := store.most.Load(); most != filesAtOnce {
		t.Errorf("%d files were worked on at once, want %d", most, filesAtOnce)
	}
}

// A stranger is refused before what he sends is read.
func TestAStrangersFileIsNotRead(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	body := &endless{}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/import/quayside", io.LimitReader(body, 64<<20))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	r.Header.Set("Expect", "100-continue")
	if p := s.do(t, r); p.status != http.StatusUnauthorized {
		t.Errorf("%d", p.status)
	}
	if body.read > 4<<20 { // what the connection's buffers take
		t.Errorf("%d bytes were read", body.read)
	}
}

type endless struct{ read int }

func (e *endless) Read(p []byte) (int, error) {
	e.read += len(p)
	return len(p), nil
}
