package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"runtime/debug"

	"github.com/labstack/echo/v4"
)

// What the page for the phone on set is made of besides its template: style, script, and the service worker that keeps pages which were
// opened, for where there is no network.

const (
	setScriptPath = "/set.js"
	// setNonePath is what the worker answers with where nothing is kept.
	setNonePath = "/set/none"
	// setWorkerPath is that of the worker; it works for addresses that begin with setScope alone.
	setWorkerPath = "/set/worker.js"
	setScope      = "/set"
)

// setFiles are those files, and the version of the program that they belong to.
type setFiles struct {
	setStyle             template.CSS
	setOwnScript, worker []byte
	// version changes with each template and static file, and with the program's build: what is kept of another version is asked for anew.
	version string
}

// versionBytes are enough to tell the versions of a program apart.
const versionBytes = 8

func (s *Server) loadSet() error {
	style, err := files.ReadFile("static/set.css")
	if err != nil {
		return err
	}
	s.setStyle = template.CSS(style) //nolint:gosec // our own file
	if s.setOwnScript, err = files.ReadFile("static/set.js"); err != nil {
		return err
	}
	worker, err := files.ReadFile("static/worker.js")
	if err != nil {
		return err
	}
	h := sha256.New()
	err = fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := files.ReadFile(path)
		fmt.Fprintf(h, "%s %d\n%s", path, len(body), body)
		return err
	})
	if err != nil {
		return err
	}
	if build, ok := debug.ReadBuildInfo(); ok {
		fmt.Fprint(h, build.String())
	}
	s.version = hex.EncodeToString(h.Sum(nil)[:versionBytes])
	s.worker = append([]byte("const version = '"+s.version+"', script = '"+s.setScriptAt()+"', none = '"+setNonePath+"';\n"), worker...)
	return nil
}

// setScriptAt is the script's address in this version.
func (s *Server) setScriptAt() string { return setScriptPath + "?v=" + s.version }

func (s *Server) setScript(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "public, max-age=600")
	return c.Blob(http.StatusOK, "text/javascript; charset=utf-8", s.setOwnScript)
}

// setWorker is the worker's script; it is never taken from a cache, so that a new version is found at once.
func (s *Server) setWorker(c echo.Context) error {
	h := c.Response().Header()
	h.Set("Cache-Control", "no-cache")
	h.Set("Service-Worker-Allowed", setScope)
	return c.Blob(http.StatusOK, "text/javascript; charset=utf-8", s.worker)
}

// setNone is the page for a shot that was not opened while there was a network.
func (s *Server) setNone(c echo.Context) error {
	return s.render(c, http.StatusOK, "setnone", frame{Title: languageOf(c.Request()).Say("No network"), Here: "set", Extra: s.setStyle, Script: s.setScriptAt()})
}
