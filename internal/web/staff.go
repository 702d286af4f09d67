package web

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

// staff signs the house's staff in: whoever knows the staff token gets a cookie that says until when, sealed with a key made of
// the token, so that any number of servers with one token know each other's.
type staff struct{ key, token [32]byte }

const (
	staffCookie = "staff"
	// staffHours is how long a sign-in lasts: a working day (common practice, no source).
	staffHours = 12
)

func newStaff(token string) staff {
	return staff{key: sha256.Sum256([]byte("kitspan pages " + token)), token: sha256.Sum256([]byte(token))}
}

func (s staff) seal(text string) string {
	m := hmac.New(sha256.New, s.key[:])
	m.Write([]byte(text))
	return base64.RawURLEncoding.EncodeToString(m.Sum(nil))
}

// pass is a cookie's value that is good until an instant.
func (s staff) pass(until time.Time) string {
	text := strconv.FormatInt(until.Unix(), 10) + "." + rand.Text()
	return text + "." + s.seal("pass "+text)
}

func (s staff) signed(r *http.Request, now time.Time) bool {
	c, err := r.Cookie(staffCookie)
	if err != nil {
		return false
	}
	at := strings.LastIndexByte(c.Value, '.')
	if at < 0 {
		return false
	}
	text, seal := c.Value[:at], c.Value[at+1:]
	if subtle.ConstantTimeCompare([]byte(seal), []byte(s.seal("pass "+text))) != 1 {
		return false
	}
	unix, _, _ := strings.Cut(text, ".")
	until, err := strconv.ParseInt(unix, 10, 64)
	return err == nil && now.Before(time.Unix(until, 0))
}

// csrf is what a form of a signed-in reader carries: only a page of ours can know it.
func (s staff) csrf(r *http.Request) string {
	c, err := r.Cookie(staffCookie)
	if err != nil {
		return ""
	}
	return s.seal("form " + c.Value)
}

// mayWrite refuses whoever is not signed in, or whose form is not from our page.
func (s *Server) mayWrite(c echo.Context) error {
	if !s.staff.signed(c.Request(), s.Now()) {
		return &oops{http.StatusUnauthorized, "Only the house's staff change the catalogue: sign in first. Nothing was changed."}
	}
	if subtle.ConstantTimeCompare([]byte(c.FormValue("csrf")), []byte(s.staff.csrf(c.Request()))) != 1 {
		return &oops{http.StatusForbidden, "This form is of another sign-in: go back, reload the page and send it again. Nothing was changed."}
	}
	return nil
}

type signInPage struct {
	Back  string
	Wrong bool
}

func (s *Server) signInForm(c echo.Context) error {
	return s.render(c, http.StatusOK, "signin", frame{Title: "Staff", Here: "staff", Page: signInPage{Back: ours(c.QueryParam("back"))}})
}

func (s *Server) signIn(c echo.Context) error {
	given := sha256.Sum256([]byte(strings.TrimSpace(c.FormValue("token"))))
	if subtle.ConstantTimeCompare(given[:], s.staff.token[:]) != 1 {
		return s.render(c, http.StatusUnauthorized, "signin", frame{Title: "Staff", Here: "staff", Page: signInPage{Back: ours(c.FormValue("back")), Wrong: true}})
	}
	c.SetCookie(&http.Cookie{
		Name: staffCookie, Value: s.staff.pass(s.Now().Add(staffHours * time.Hour)), Path: "/", MaxAge: staffHours * 3600,
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: c.Request().TLS != nil,
	})
	return c.Redirect(http.StatusSeeOther, ours(c.FormValue("back")))
}

func (s *Server) signOut(c echo.Context) error {
	c.SetCookie(&http.Cookie{Name: staffCookie, Path: "/", MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: c.Request().TLS != nil})
	return c.Redirect(http.StatusSeeOther, "/catalogue")
}
