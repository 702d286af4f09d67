package rest

import (
	"context"

	"github.com/labstack/echo/v4"

	"kitspan/internal/phrase"
	"kitspan/internal/text"
)

// The language of sentences: English, unless Accept-Language asks for another that there is. Codes and numbers are the same in all.

type languageKey struct{}

// spoken finds out what the client reads, and says which language it gets where an answer has sentences of shots.
func spoken(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		l := phrase.Match(c.Request().Header.Get("Accept-Language"))
		c.SetRequest(c.Request().WithContext(context.WithValue(c.Request().Context(), languageKey{}, l)))
		if storesNothing[c.Path()] {
			c.Response().Header().Set("Content-Language", l.Tag())
			c.Response().Header().Add("Vary", "Accept-Language")
		}
		return next(c)
	}
}

// readerIn is whom an answer's sentences are for; where the context says nothing, a reader of English.
func readerIn(ctx context.Context) text.Reader {
	l, _ := ctx.Value(languageKey{}).(*phrase.Language)
	return text.Metres.In(l)
}
