package web

import (
	"html/template"
	"net/http"
	"net/url"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/phrase"
)

// The language of the pages: the one that an address names in languageField, else the one that the reader has chosen before, which a cookie
// keeps, else what the browser asks for. It is in no address that the pages link to, so that whoever is sent one reads it in their own.

const (
	languageField  = "lang"
	languageCookie = "lang"
	languageTime   = 365 * 24 * time.Hour
)

func languageOf(r *http.Request) *phrase.Language {
	if l := phrase.Named(r.URL.Query().Get(languageField)); l != nil {
		return l
	}
	if c, err := r.Cookie(languageCookie); err == nil {
		if l := phrase.Named(c.Value); l != nil {
			return l
		}
	}
	return phrase.Match(r.Header.Get("Accept-Language"))
}

// keepLanguage keeps the language that an address names.
func keepLanguage(c echo.Context) {
	l := phrase.Named(c.Request().URL.Query().Get(languageField))
	if l == nil {
		return
	}
	c.SetCookie(&http.Cookie{
		Name: languageCookie, Value: l.Tag(), Path: "/", MaxAge: int(languageTime / time.Second),
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: secure(c),
	})
}

// languageLink is where the same page is in a language.
type languageLink struct {
	Tag, Name string
	Address   template.URL
	Here      bool
}

// languageLinks are the page in every language; the start where the page is the answer to a form.
func languageLinks(r *http.Request) []languageLink {
	var out []languageLink
	path, q := r.URL.EscapedPath(), r.URL.Query()
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		path, q = "/", url.Values{}
	}
	here := languageOf(r)
	for _, l := range phrase.All() {
		q.Set(languageField, l.Tag())
		out = append(out, languageLink{l.Tag(), l.Name(), template.URL(ours(path + "?" + q.Encode())), l == here}) //nolint:gosec // encoded by net/url
	}
	return out
}
