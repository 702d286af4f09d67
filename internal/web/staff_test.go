package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/alexedwards/scs/v2/memstore"

	"kitspan/internal/catalog"
)

func (s *site) signIn(t *testing.T) {
	t.Helper()
	if p := s.post(t, "/staff", url.Values{"token": {token}, "back": {"/catalogue/quayside"}}); p.at.Path != "/catalogue/quayside" {
		t.Fatalf("signed in at %s", p.at)
	}
}

// mayEdit reports whether the browser is shown the form of an item.
func (s *site) mayEdit(t *testing.T) bool {
	t.Helper()
	return s.get(t, "/catalogue/quayside/QG-BAG-16").Find("form.shot").Length() == 1
}

func TestStaffSignInAndOut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	if p := s.post(t, "/staff", url.Values{"token": {"wrong"}}); p.status != http.StatusUnauthorized || !strings.Contains(p.text(".summary"), "not the staff token") {
		t.Errorf("a wrong token: %d", p.status)
	}
	if s.mayEdit(t) {
		t.Error("everybody can edit")
	}
	s.signIn(t)
	if !s.mayEdit(t) {
		t.Error("staff cannot edit")
	}
	s.post(t, "/staff/out", nil)
	if s.mayEdit(t) {
		t.Error("staff can edit after sign-out")
	}
}

func TestASessionIsOverForEveryProcessAfterSignOut(t *testing.T) {
	t.Parallel()
	one := newSite(t)
	other := newSiteWith(t, func(o *setup) { o.Sessions = one.sessions })
	one.signIn(t)
	stolen := *one.client.Jar.(*jar).kept[staffCookie]
	take := func(s *site) *site {
		thief := *s
		thief.client = newClient(t)
		thief.client.Jar.SetCookies(nil, []*http.Cookie{&stolen})
		return &thief
	}
	if !take(one).mayEdit(t) || !take(other).mayEdit(t) {
		t.Fatal("a session is not known to both processes: the test tests nothing")
	}
	one.post(t, "/staff/out", nil)
	if take(one).mayEdit(t) || take(other).mayEdit(t) {
		t.Error("the cookie opens after sign-out")
	}
}

func TestASessionIsOverWhenTheStaffTokenIsAnother(t *testing.T) {
	t.Parallel()
	before := newSite(t)
	after := newSiteWith(t, func(o *setup) { o.Sessions, o.Staff = before.sessions, staffOf("another staff token") })
	before.signIn(t)
	after.client = before.client
	if after.mayEdit(t) {
		t.Error("the old token's session opens")
	}
}

func TestSigningInAgainEndsTheOlderSession(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	older := *s.client.Jar.(*jar).kept[staffCookie]
	s.signIn(t)
	if !s.mayEdit(t) {
		t.Error("the new session does not open")
	}
	s.client.Jar.SetCookies(nil, []*http.Cookie{&older})
	if s.mayEdit(t) {
		t.Error("the older session opens")
	}
}

func TestASessionThatNobodyOpenedIsNone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, value := range []string{"", "made up", strings.Repeat("x", 5000), "4070908800.x.y"} {
		s.client.Jar.SetCookies(nil, []*http.Cookie{{Name: staffCookie, Value: value}})
		if s.mayEdit(t) {
			t.Errorf("%.20q opens", value)
		}
	}
	s.signIn(t)
	if got := s.client.Jar.(*jar).kept[staffCookie].Value; got == "made up" || len(got) < 20 {
		t.Errorf("signed in with the session %q that the browser brought", got)
	}
}

// What the store holds does not open anything.
func TestTheStoreHoldsNoCookies(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	kept, err := s.sessions.(*memstore.MemStore).All()
	if err != nil || len(kept) != 1 {
		t.Fatalf("%d sessions, %v", len(kept), err)
	}
	for hash := range kept {
		s.client.Jar.SetCookies(nil, []*http.Cookie{{Name: staffCookie, Value: hash}})
		if s.mayEdit(t) {
			t.Error("what is stored opens")
		}
	}
}

// broken is a store of sessions that may stop to answer.
type broken struct {
	*memstore.MemStore
	down atomic.Bool
}

func (b *broken) Find(token string) ([]byte, bool, error) {
	if b.down.Load() {
		return nil, false, catalog.ErrUnavailable
	}
	return b.MemStore.Find(token)
}

func TestWhereSessionsAreOutOfReachPagesAreStillRead(t *testing.T) {
	t.Parallel()
	store := &broken{MemStore: memstore.NewWithCleanupInterval(0)}
	s := newSiteWith(t, func(o *setup) { o.Sessions = store })
	s.signIn(t)
	form := s.edit(t, "/catalogue/quayside/QG-BAG-16")
	store.down.Store(true)
	for _, path := range []string{"/cautions", "/", "/live.js", "/catalogue/quayside/QG-BAG-16"} {
		if p := s.get(t, path); p.status != http.StatusOK {
			t.Errorf("%s: %d", path, p.status)
		}
	}
	for _, path := range []string{"/catalogue/quayside/QG-BAG-16", "/import/quayside", "/staff/out"} {
		if p := s.post(t, path, form); p.status != http.StatusServiceUnavailable {
			t.Errorf("sent to %s: %d", path, p.status)
		}
	}
	store.down.Store(false)
	if !s.mayEdit(t) {
		t.Error("the session is lost, or ended without a word")
	}
}

// signInCookie is the staff's cookie of an answer to a sign-in.
func (s *site) signInCookie(t *testing.T, header ...string) *http.Cookie {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/staff", strings.NewReader(url.Values{"token": {token}}.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	client := http.Client{Transport: s.Client().Transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	got, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = got.Body.Close() }()
	for _, c := range got.Cookies() {
		if strings.HasSuffix(c.Name, staffCookie) {
			return c
		}
	}
	t.Fatalf("no cookie: %d", got.StatusCode)
	return nil
}

func TestTheStaffCookieIsKeptToTLS(t *testing.T) {
	t.Parallel()
	loopback := []netip.Prefix{netip.MustParsePrefix("127.0.0.0/8"), netip.MustParsePrefix("::1/128")}
	behind := newSiteWith(t, func(o *setup) { o.TrustedProxies = loopback })
	direct := newSite(t)
	for _, c := range []struct {
		name   string
		site   *site
		header []string
		secure bool
	}{
		{"a trusted proxy speaks of TLS", behind, []string{"X-Forwarded-Proto", "https"}, true},
		{"a trusted proxy speaks of none", behind, []string{"X-Forwarded-Proto", "http"}, false},
		{"a trusted proxy says nothing", behind, nil, false},
		{"anybody speaks of TLS", direct, []string{"X-Forwarded-Proto", "https", "X-Forwarded-Ssl", "on"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := c.site.signInCookie(t, c.header...)
			want := staffCookie
			if c.secure {
				want = securePrefix + staffCookie
			}
			if got.Name != want || got.Secure != c.secure || !got.HttpOnly || got.SameSite != http.SameSiteStrictMode || got.Path != "/" || got.Domain != "" {
				t.Errorf("%+v, want %s, secure %v", got, want, c.secure)
			}
		})
	}
	t.Run("a cookie of a plain connection opens nothing over TLS", func(t *testing.T) {
		plain := behind.signInCookie(t)
		behind.client.Jar.SetCookies(nil, []*http.Cookie{plain})
		if p := behind.get(t, "/catalogue/quayside/QG-BAG-16", "X-Forwarded-Proto", "https"); p.Find("form.shot").Length() != 0 {
			t.Error("it does")
		}
		if !behind.mayEdit(t) {
			t.Error("it does not open where it was made: the test tests nothing")
		}
	})
	t.Run("this server ends TLS itself", func(t *testing.T) {
		s := newSite(t)
		over := httptest.NewTLSServer(s.Config.Handler)
		defer over.Close()
		s.Server = over
		if got := s.signInCookie(t); got.Name != securePrefix+staffCookie || !got.Secure {
			t.Errorf("%+v", got)
		}
	})
}

func TestFailedSignInsAreLimitedByAddress(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, func(o *setup) { o.TrustedProxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.0/8")} })
	try := func(client, token string) *page {
		t.Helper()
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/staff", strings.NewReader(url.Values{"token": {token}}.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Forwarded-For", client)
		return s.do(t, r)
	}
	refused := 0
	for refused == 0 {
		p := try("192.0.2.7", "wrong")
		switch p.status {
		case http.StatusUnauthorized:
		case http.StatusTooManyRequests:
			refused++
		default:
			t.Fatalf("a wrong token: %d", p.status)
		}
	}
	for _, given := range []string{"wrong", token} {
		p := try("192.0.2.7", given)
		wait, err := strconv.Atoi(p.header.Get("Retry-After"))
		if p.status != http.StatusTooManyRequests || err != nil || wait < 1 || !strings.Contains(p.text(".summary"), fmt.Sprintf("in %d second", wait)) {
			t.Errorf("one attempt too many: %d, Retry-After %q, %q", p.status, p.header.Get("Retry-After"), p.text(".summary"))
		}
	}
	if p := try("192.0.2.8", "wrong"); p.status != http.StatusUnauthorized {
		t.Errorf("another address: %d", p.status)
	}
	if p := try("198.51.100.1, 192.0.2.7", "wrong"); p.status != http.StatusTooManyRequests {
		t.Errorf("the same address behind one that it made up: %d", p.status)
	}
	for _, want := range []string{`msg="sign-in failed" request_id=`, `msg="sign-in refused after too many attempts" request_id=`, "client=192.0.2.7", "client=192.0.2.8"} {
		if !strings.Contains(s.log.String(), want) {
			t.Errorf("the log lacks %s", want)
		}
	}
	if strings.Contains(s.log.String(), token) {
		t.Error("the log holds the token")
	}
}

// forms are the addresses that take a form.
func (s *site) forms(t *testing.T) []string {
	t.Helper()
	forms := []string{"/places", "/catalogue/quayside/QG-BAG-16", "/import/quayside", "/import/quayside/FILE0", "/staff", "/staff/out", "/jobs", "/jobs/" + anyJob, "/jobs/" + anyJob + "/copy", "/jobs/" + anyJob + "/delete", "/jobs/" + anyJob + "/shots/1", "/jobs/" + anyJob + "/pin", "/jobs/" + anyJob + "/import", "/jobs/" + anyJob + "/plan", "/jobs/" + anyJob + "/plan/runs/1/cancel"}
	routes := 0
	for _, r := range s.chain.Routes() {
		if r.Method == http.MethodPost {
			routes++
		}
	}
	if routes != len(forms) {
		t.Fatalf("%d addresses take a form, %d are tested", routes, len(forms))
	}
	return forms
}

func TestFormsOfOtherSitesAreRefused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	for _, path := range s.forms(t) {
		for _, from := range [][2]string{
			{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Origin", "https://elsewhere.example"}, {"Origin", "null"},
		} {
			r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+path, strings.NewReader("token="+url.QueryEscape(token)))
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set(from[0], from[1])
			if p := s.do(t, r); p.status != http.StatusForbidden || !strings.Contains(p.text("main"), "another site") {
				t.Errorf("%s from %s: %d %q", path, from, p.status, p.text("main"))
			}
		}
	}
	if !s.mayEdit(t) {
		t.Error("another site has signed the staff out")
	}
}

func TestFormsAreBounded(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	for _, path := range []string{"/places", "/catalogue/quayside/QG-BAG-16", "/import/quayside/FILE0", "/staff"} {
		p := s.post(t, path, url.Values{"place_name": {strings.Repeat("x", maxForm)}})
		if p.status != http.StatusRequestEntityTooLarge || !strings.Contains(p.text("main"), "larger than 64 kB") {
			t.Errorf("%s: %d %q", path, p.status, p.text("main"))
		}
	}
}
