# make run     builds everything, starts it with a database of its own, and shows one sized and priced shot
# make test    runs all tests, on a real PostgreSQL
# make help    lists the rest

SHELL := bash
.SHELLFLAGS := -Eeuo pipefail -c
.DEFAULT_GOAL := help

# The Go release that go.mod names, which has the security fixes: fetched through the module proxy where the one installed is older, also
# on systems whose Go would not. GOTOOLCHAIN=local takes the one installed.
export GOTOOLCHAIN ?= auto
TOOL := go tool -modfile=tools/go.mod
# Static: the one file runs on any Linux of its architecture.
BUILD := CGO_ENABLED=0 go build -trimpath

# What make run shows and serves; further arguments of 'api serve' go into RUN_ARGS.
EXAMPLE ?= docs/examples/01-two-anglers.json
RUN_ARGS ?=
# Which tests: make test PACKAGES=./internal/geom TEST_ARGS='-run Polygon -v'
PACKAGES ?= ./...
TEST_ARGS ?=
BENCH ?= .
FUZZTIME ?= 10s
# How many mutated examples a nightly run sizes, and the seed of the first.
PLANS ?= 50000
PLANS_FROM ?= 0
IMAGE ?= kitspan:latest
DOCKER ?= docker
export DOCKER

.PHONY: help
help: ## lists the targets
	@sed -n 's/^\([a-z-]*\):.*## /\1\t/p' $(MAKEFILE_LIST) | expand -t 18

.PHONY: build
build: ## builds bin/api
	@echo 'building bin/api: the first time Go fetches modules and compiles all of them, which takes a minute or two' >&2
	@$(BUILD) -v -o bin/api ./cmd/api 2>&1 | awk '/^[^ ]+$$/ { if (++n % 50 == 0) print "building bin/api: " n " packages compiled"; next } { print }' >&2

.PHONY: run
run: build ## serves with a database of its own and prints a sized example shot
	@deploy/run.sh --example $(EXAMPLE) $(RUN_ARGS)

.PHONY: test
test: ## runs all tests, shuffled, on one real PostgreSQL, with the race detector where it has something to find
	@deploy/need.sh postgres compiler browser solver
	@deploy/test-server.sh deploy/tests.sh $(PACKAGES) -- $(TEST_ARGS)

.PHONY: lint
lint: ## runs the linters of .golangci.yml
	$(TOOL) golangci-lint run ./...

# The database of known vulnerabilities: its newest version when this was last looked at. make vulncheck VULNDB=latest takes today's.
VULNDB ?= v0.0.0-20261105234957-e22db6528018

.PHONY: vulncheck
vulncheck: ## fails where the program calls into a known vulnerability that tools/vulncheck/accepted.txt does not give a reason for
	go -C tools test ./...
	go -C tools build -o ../bin/vulncheck ./vulncheck
	@bin/vulncheck -root . -accepted tools/vulncheck/accepted.txt -work bin/vulndb -vulndb $(VULNDB) ./...

.PHONY: generate
generate: ## makes generated code anew
	go generate ./...

.PHONY: generate-check
generate-check: ## fails where generated code is not what its sources make
	@mkdir -p bin && git ls-files -z -- '*.gen.*' | xargs -0r sha256sum >bin/generated.sha256
	go generate ./...
	@sha256sum --check --quiet bin/generated.sha256 || { echo "generated code was stale: commit what 'make generate' makes" >&2; exit 1; }

.PHONY: migrations-check
migrations-check: ## migrates up, down and up, and compares the schema with db/schema.sql
	@deploy/need.sh postgres
	CI=true KITSPAN_TEST_SERVER=private go test -count=1 -run 'Migrat|Schema' -v ./internal/postgres

.PHONY: schema
schema: ## writes db/schema.sql from the migrations
	@deploy/need.sh postgres
	go test -count=1 -run SchemaFile ./internal/postgres -update

.PHONY: bench
bench: ## runs the benchmarks (BENCH=name for some)
	@deploy/test-server.sh go test -run '^$$' -bench '$(BENCH)' -benchmem $(PACKAGES)

.PHONY: screens
screens: ## writes every page at three widths, and the printed sheet, into bin/screens
	@deploy/need.sh browser
	@mkdir -p bin/screens
	KITSPAN_SCREENS=$(CURDIR)/bin/screens go test -tags screens -count=1 -run 'Screens|Sheet' ./internal/web

.PHONY: fuzz
fuzz: ## fuzzes each decoder, and whole plans, for FUZZTIME
	@for package in $$(go list $(PACKAGES)); do \
		for target in $$(go test -list '^Fuzz' $$package | grep '^Fuzz' || true); do \
			echo "$$package $$target"; \
			go test -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) $$package; \
		done; \
	done

.PHONY: nightly-plans
nightly-plans: ## sizes PLANS mutations of the examples and holds the answers to every rule
	KITSPAN_PLANS=$(PLANS) KITSPAN_PLANS_FROM=$(PLANS_FROM) go test -count=1 -timeout 0 -v -run MutatedExamples ./internal/sizing/oracle

.PHONY: bin/linux/api
bin/linux/api:
	GOOS=linux $(BUILD) -o bin/linux/api ./cmd/api

.PHONY: image
image: bin/linux/api ## builds the container image of the api
	$(DOCKER) build --quiet --tag $(IMAGE) --file deploy/Containerfile .

.PHONY: deploy-check
deploy-check: build bin/linux/api ## brings deploy/compose.yaml and the container path of make run up for real, where an engine answers
	@deploy/compose-check.sh
	@deploy/run-check.sh

.PHONY: clean
clean: ## removes what was built here
	rm -rf bin .tmp

# How each: make load LOAD_ARGS='-duration 30s -rate 250'; a server that runs already: make load-target TARGET=http://127.0.0.1:8080
LOAD_ARGS ?=
TARGET ?= http://127.0.0.1:8080

.PHONY: bin/load
bin/load:
	@mkdir -p bin
	go -C bench build -o ../bin/load ./load

.PHONY: load
load: build bin/load ## measures start, sizings per second over HTTP and memory, on a server and a database of its own
	@deploy/test-server.sh bin/load -api bin/api $(LOAD_ARGS)

.PHONY: load-target
load-target: bin/load ## measures sizings per second of a server that runs on this machine (TARGET=http://127.0.0.1:8080)
	@bin/load -target $(TARGET) $(LOAD_ARGS)

.PHONY: bench-shared-kit
bench-shared-kit: ## makes jobs, chooses each one's shared kit here and by a general solver, and prints the ratio of their times
	@deploy/need.sh solver
	go run ./internal/sharedkit/against $(BENCH_ARGS)

.PHONY: bench-listing
bench-listing: ## compares the item listing with a bare handler of the same query and bytes, in one run
	@deploy/test-server.sh go test -run '^$$' -bench 'ListItems' -benchtime 5s ./internal/rest
