package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/labstack/echo/v4"

	"kitspan/internal/account"
	"kitspan/internal/httpchain"
)

// Sessions of staff are kept on the server, where every process on one database finds them. A session is over at sign-out, after a
// working day, and when the staff token is another.
const (
	staffCookie = "staff"
	// securePrefix has browsers take a cookie from HTTPS alone, for this host and every path of it (RFC 6265bis, 4.1.3.2): neither a
	// network between nor a neighbouring host can put one of theirs in its place.
	securePrefix = "__Host-"
	// staffHours is how long a sign-in lasts: a working day (common practice, no source).
	staffHours = 12

	tokenValue  = "token"  // of a session: the hash of the token that it was opened with
	holderValue = "holder" // of a session: a name for what is kept for it, which no page shows

	signedKey  = "signed in"       // of a request's context
	unknownKey = "session unknown" // of a request's context: the error for which it is not known who asks
)

func newSessions(store scs.Store) *scs.SessionManager {
	m := scs.New()
	m.Store, m.Lifetime, m.HashTokenInStore = store, staffHours*time.Hour, true
	return m
}

// secure reports whether the browser speaks TLS, to this server or to a trusted proxy before it.
func secure(c echo.Context) bool { return c.Scheme() == "https" }

// cookie is the staff's cookie for a request's kind of connection.
func cookie(c echo.Context) *http.Cookie {
	name := staffCookie
	if secure(c) {
		name = securePrefix + staffCookie
	}
	return &http.Cookie{Name: name, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: secure(c)}
}

// session finds out who asks. Readers without a cookie cost the storage nothing, and what everybody may read is not refused where the
// storage of sessions does not answer.
func (s *Server) session(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, token := c.Request(), ""
		if held, err := r.Cookie(cookie(c).Name); err == nil {
			token = held.Value
		}
		ctx, err := s.sessions.Load(r.Context(), token)
		if err != nil {
			c.Set(unknownKey, fmt.Errorf("load the session: %w", err))
			if ctx, err = s.sessions.Load(r.Context(), ""); err != nil { // asks no storage
				return err
			}
		}
		c.SetRequest(r.WithContext(ctx))
		c.Set(signedKey, s.Staff.HasTokenHash(s.sessions.GetBytes(ctx, tokenValue)))
		return next(c)
	}
}

// signed reports whether staff ask.
func signed(c echo.Context) bool {
	yes, _ := c.Get(signedKey).(bool)
	return yes
}

// holder names the session of a signed-in request, for what is kept for it.
func (s *Server) holder(ctx context.Context) string {
	return s.sessions.GetString(ctx, holderValue)
}

// staffOnly refuses whoever is not signed in, before a byte of what they send is read.
func staffOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err, unknown := c.Get(unknownKey).(error); unknown {
			return err
		}
		if !signed(c) {
			return &pageError{status: http.StatusUnauthorized, says: "Only the house's staff change the catalogue: sign in first. Nothing was changed."}
		}
		return next(c)
	}
}

type signInPage struct {
	Back  string
	Wrong bool
	// WaitS is after how many seconds the next attempt is taken; 0 where there is nothing to wait for.
	WaitS int
}

func (s staffPages) signInForm(c echo.Context) error {
	return s.showSignIn(c, http.StatusOK, signInPage{Back: ours(c.QueryParam("back"))})
}

func (s staffPages) showSignIn(c echo.Context, status int, page signInPage) error {
	return s.render(c, status, "signin", frame{Title: languageOf(c.Request()).Say("Staff"), Here: "staff", Page: page})
}

// signIn opens a session for whoever knows the staff token.
func (s staffPages) signIn(c echo.Context) error {
	page := signInPage{Back: ours(c.FormValue("back"))}
	client := c.RealIP()
	err := s.Staff.Admit(client, strings.TrimSpace(c.FormValue("token")))
	var wait *account.WaitError
	switch {
	case errors.As(err, &wait):
		s.Log.Warn("sign-in refused after too many attempts", slog.String("request_id", httpchain.RequestID(c)), slog.String("client", client))
		page.WaitS = int(math.Ceil(wait.Wait.Seconds()))
		c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(page.WaitS))
		return s.showSignIn(c, http.StatusTooManyRequests, page)
	case err != nil:
		s.Log.Warn("sign-in failed", slog.String("request_id", httpchain.RequestID(c)), slog.String("client", client))
		page.Wrong = true
		return s.showSignIn(c, http.StatusUnauthorized, page)
	}
	ctx, sessions := c.Request().Context(), s.sessions
	if err := sessions.RenewToken(ctx); err != nil { // an older session of this browser is over
		return fmt.Errorf("open a session: %w", err)
	}
	sessions.Put(ctx, tokenValue, s.Staff.TokenHash())
	sessions.Put(ctx, holderValue, rand.Text())
	token, _, err := sessions.Commit(ctx)
	if err != nil {
		return fmt.Errorf("open a session: %w", err)
	}
	pass := cookie(c)
	pass.Value, pass.MaxAge = token, staffHours*3600
	c.SetCookie(pass)
	return c.Redirect(http.StatusSeeOther, page.Back)
}

// signOut ends the session for whoever holds its cookie.
func (s staffPages) signOut(c echo.Context) error {
	if err, unknown := c.Get(unknownKey).(error); unknown {
		return err // the session would go on
	}
	if err := s.sessions.Destroy(c.Request().Context()); err != nil {
		return fmt.Errorf("end a session: %w", err)
	}
	gone := cookie(c)
	gone.MaxAge = -1
	c.SetCookie(gone)
	return c.Redirect(http.StatusSeeOther, "/catalogue")
}
