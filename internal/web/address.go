package web

import (
	"net/http"
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/labstack/echo/v4"
)

// longestAddress is the longest address that a form may lead to: a whole shot is some hundred bytes, one with many lamps some thousand.
const longestAddress = 16 << 10

// ours is a way back within the site; anything else is the catalogue. Browsers drop tabs and line breaks from an address and read a
// backslash as a slash (WHATWG URL, 4.4), so that only a path that net/url writes as it was given is taken.
func ours(path string) string {
	const otherwise = "/catalogue"
	if len(path) > longestAddress || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsFunc(path, notURL) {
		return otherwise
	}
	if u, err := url.Parse(path); err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || u.String() != path {
		return otherwise
	}
	return path
}

// notURL reports whether a character does not stand in a URL as it is (RFC 3986, 2): letters beyond ASCII are escaped there.
func notURL(c rune) bool { return c <= ' ' || c >= 0x7f || c == '\\' }

// readable refuses addresses that hold what no name of a house, item or kind has and no search finds: control characters and what is
// no text. The database would refuse them too, as a fault of ours.
func readable(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		nowhere := &pageError{status: http.StatusNotFound, says: "There is no page at this address: it holds characters that no name has."}
		r := c.Request()
		if !plainText(r.URL.Path, "") {
			return nowhere
		}
		for name, values := range r.URL.Query() {
			for _, v := range append(values, name) {
				if !plainText(v, "\t\r\n") { // lines of lamps and people
					return nowhere
				}
			}
		}
		return next(c)
	}
}

// plainText reports whether s is valid UTF-8 without control characters other than those allowed.
func plainText(s, allowed string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(c rune) bool { return unicode.IsControl(c) && !strings.ContainsRune(allowed, c) })
}
