# Targets that say what they do; `make help` lists them. Needs Python 3.11 or newer and make, nothing else.

PYTHON ?= python3
# One more than the cores: a test with a browser waits for half of its time.
TEST_WORKERS ?= 3
# In the order of their names: by the number of tests, slow files of one test would come last and leave a worker idle.
ON_WORKERS := -n $(TEST_WORKERS) --dist loadfile --no-loadscope-reorder

VENV := .venv
BIN := $(CURDIR)/$(VENV)/bin
export PATH := $(BIN):$(PATH)
export PIP_DISABLE_PIP_VERSION_CHECK := 1
# The many processes of a test run read the same sources: each is compiled once.
unexport PYTHONDONTWRITEBYTECODE
# An account without a writable home still gets a cache for npm.
export npm_config_cache := $(shell test -w "$${HOME:-/nonexistent}" && echo "$$HOME/.npm" || echo "$(CURDIR)/var/npm")

PWA_SOURCES := $(shell find pwa -name node_modules -prune -o -name dist -prune -o -type f -print)

.DEFAULT_GOAL := help
.NOTPARALLEL:
.PHONY: help setup build demo browser roads test check audit long bench pictures format lock clean

help: ## list the targets
	@sed -nE 's/^([a-z]+):.*## (.*)/  make \1\t\2/p' Makefile | expand -t 16

setup: $(VENV)/.python-packages pwa/node_modules/.package-lock.json ## make the virtual environment and install what the locks name

build: setup pwa/dist/.built ## build the phone app, if its sources changed

demo: build ## serve the invented practice on this computer
	heelwright demo

browser: ## make sure that a Chromium is there for the tests
	@tools/find_chromium.sh

roads: var/roads/.fetched ## fetch the road engine by whose programs the tests map a made-up town

test: build browser roads check ## the whole short tier: checks, Vitest, pytest on PostgreSQL and on SQLite
	cd pwa && npm test
	python -m tests.services.run_with_postgres pytest $(ON_WORKERS) -m "database and not one_database and not system and not long"
	pytest $(ON_WORKERS)

check: setup ## formatters, linters, types, import contracts, spelling, locks
	tools/check.sh

audit: setup ## look the locked packages up in the advisory databases; fails on a finding
	python tools/audit.py

long: export HEELWRIGHT_RUN := long
long: build browser roads ## the full runs of everything that `make test` runs in a short form (hours)
	cd pwa && npm test
	python -m tests.services.run_with_postgres pytest $(ON_WORKERS) -m "database and not system"
	pytest $(ON_WORKERS) -m "long or not long"

bench: build browser tests/bench/peers/node_modules/.package-lock.json ## measure sync beside its peers, its cost on the server, and cold start
	python -m tests.bench

pictures: export HEELWRIGHT_PICTURES := $(CURDIR)/docs/pictures/screens
pictures: build browser ## take the picture of every screen, of every fault of a phone, of a client's own phone and of walks through a day, for docs/pictures
	rm -rf docs/pictures && mkdir -p docs/pictures/screens docs/pictures/faults docs/pictures/walks
	pytest tests/system/test_axe.py tests/system/test_phone_faults_*.py tests/system/test_own_phone.py
	find docs/pictures/screens -name 'own-*' ! -name '*-narrow-light.png' -delete
	HEELWRIGHT_PICTURES=$(CURDIR)/docs/pictures/walks pytest tests/system/test_best_order.py tests/system/test_plan.py tests/system/test_round_by_keyboard.py
	cp docs/pictures/screens/*-visit-timer.png docs/pictures/visit.png

format: setup ## rewrite the sources as the formatters want them
	ruff format .
	ruff check --fix .
	cd pwa && npm run --silent format

lock: setup ## resolve requirements*.txt again from pyproject.toml
	pip install --quiet uv
	tools/lock.sh

clean: ## remove everything that the other targets made, the demo's records included
	rm -rf $(VENV) var pwa/node_modules pwa/dist tests/bench/peers/node_modules .mypy_cache .ruff_cache .import_linter_cache .hypothesis test-results

$(VENV)/bin/python:
	PYTHON="$(PYTHON)" tools/make_venv.sh $(VENV)

$(VENV)/.python-packages: requirements.txt pyproject.toml | $(VENV)/bin/python
	pip install --quiet --require-hashes -r requirements.txt
	pip install --quiet --no-deps --no-build-isolation -e .
	touch $@

$(VENV)/.node: requirements-node.txt tools/node_is_enough.sh | $(VENV)/bin/python
	tools/node_is_enough.sh || pip install --quiet --require-hashes -r requirements-node.txt
	tools/node_is_enough.sh
	touch $@

pwa/node_modules/.package-lock.json: pwa/package-lock.json $(VENV)/.node
	cd pwa && npm ci --no-audit --no-fund
	touch $@

var/roads/.fetched: requirements-roads.txt tools/fetch_road_programs.sh | $(VENV)/bin/python
	tools/fetch_road_programs.sh var/roads
	touch $@

# Only `bench` needs these.
tests/bench/peers/node_modules/.package-lock.json: tests/bench/peers/package-lock.json $(VENV)/.node
	cd tests/bench/peers && npm ci --no-audit --no-fund
	touch $@

pwa/dist/.built: $(PWA_SOURCES) pwa/node_modules/.package-lock.json
	cd pwa && npm run --silent build
	touch $@
