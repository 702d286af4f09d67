package main

import (
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"kitspan/docs"
	"kitspan/internal/account"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/rest"
	"kitspan/internal/text"
	"kitspan/internal/web"
)

// storage is all that the faces read and write.
type storage interface {
	office.Storage
	rest.Catalogue
	web.Catalogue
}

// facesOptions are what the faces are made of; all but runs and proxies are required.
type facesOptions struct {
	storage  storage
	jobs     rest.JobStorage
	runs     rest.PlanRuns
	sessions scs.Store
	staff    *account.Staff
	capacity *office.Capacity
	proxies  proxies
	log      *slog.Logger
	now      func() time.Time
}

// faces are what answers over HTTP: the JSON face and the pages on one chain for everybody, and what is for those who run the
// program alone.
type faces struct {
	public, private http.Handler
	planner         *rest.Server // of plans that are worked out in the background
}

// newFaces wires both faces to one office.
func newFaces(o facesOptions) (faces, error) {
	catalogues := office.NewCache(o.storage, o.now)
	desk := office.Office{Stock: catalogues, Now: o.now, Capacity: o.capacity}
	metrics, err := httpchain.NewMetrics(gauges(o.capacity)...)
	if err != nil {
		return faces{}, err
	}
	json, err := rest.New(rest.Options{
		Office: desk, Catalogues: catalogues, Storage: o.storage, Jobs: o.jobs, Runs: o.runs, Staff: o.staff, Metrics: metrics.Text, Log: o.log,
	})
	if err != nil {
		return faces{}, err
	}
	shots, err := examples()
	if err != nil {
		return faces{}, err
	}
	exampleJob, err := rest.ReadJob(docs.ExampleJob)
	if err != nil {
		return faces{}, fmt.Errorf("docs/jobs/estuary.json: %w", err)
	}
	pages, err := web.New(web.Options{
		Office: desk, Storage: o.storage, Jobs: o.jobs, Runs: pageRuns(o.runs), Staff: o.staff, Sessions: o.sessions,
		JSON: rest.SizingJSON, Text: text.WritePlan, Cautions: docs.Cautions, Examples: shots, ExampleJob: exampleJob, Log: o.log,
	})
	if err != nil {
		return faces{}, err
	}
	public, err := httpchain.New(httpchain.Options{
		Log: o.log, Metrics: metrics, TrustedProxies: o.proxies, Faces: []httpchain.Face{json.Face(), pages.Face()},
	})
	if err != nil {
		return faces{}, err
	}
	private := http.NewServeMux()
	private.Handle("GET /metrics", metrics.Handler(o.log))
	for _, probe := range []string{"GET /healthz", "GET /readyz"} { // however many connections the public holds open
		private.Handle(probe, public)
	}
	return faces{public, private, json}, nil
}

// pageRuns are the runs for the pages: none where there are none.
func pageRuns(runs rest.PlanRuns) web.PlanRuns {
	if runs == nil {
		return nil
	}
	return runs
}

// examples are the documented shots, for the first page.
func examples() ([]web.Example, error) {
	files, err := fs.Glob(docs.Examples, "examples/*.json")
	if err != nil {
		return nil, err
	}
	list := make([]web.Example, len(files))
	for i, name := range files {
		body, err := fs.ReadFile(docs.Examples, name)
		if err != nil {
			return nil, err
		}
		if list[i].House, list[i].Draft, err = rest.ReadShot(body); err != nil {
			return nil, fmt.Errorf("docs/%s: %w", name, err)
		}
	}
	return list, nil
}
