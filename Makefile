# Everything a person runs. Only Python 3.11+, pip and make are needed; the rest is installed into .venv.
PYTHON ?= python3
VENV   ?= .venv
BIN    := $(VENV)/bin
PIP    := $(BIN)/python -m pip --disable-pip-version-check --quiet

.PHONY: demo test check lint types imports audit samples browser bucket soak bench bench-reading lock clean help
.DEFAULT_GOAL := help

help: ## list the targets
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## /\1\t/' | expand -t 12

$(VENV)/run.stamp: requirements/build.txt requirements/run.txt pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "quietus needs Python 3.11 or newer: set PYTHON=/path/to/python3.11")'
	@echo "setting up $(VENV) (once, about a minute)"
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@$(PIP) install --require-hashes -r requirements/build.txt -r requirements/run.txt
	@$(PIP) install --no-build-isolation --no-deps --editable .
	@touch $@

$(VENV)/dev.stamp: $(VENV)/run.stamp requirements/dev.txt
	@echo "adding the test tools to $(VENV)"
	@$(PIP) install --require-hashes -r requirements/dev.txt
	@touch $@

demo: $(VENV)/run.stamp ## set up and play the scenario in sample_docs/
	@PATH="$(abspath $(BIN)):$$PATH" $(BIN)/python sample_docs/demo.py

test: $(VENV)/dev.stamp ## set up and run the tests
	@$(BIN)/python -m pytest -n 2 --dist loadgroup -m "not browser"

check: lint types imports test ## everything that must be green before a commit

lint: $(VENV)/dev.stamp ## ruff: rules and format
	@$(BIN)/ruff check . && $(BIN)/ruff format --check .

types: $(VENV)/dev.stamp ## mypy, strict
	@$(BIN)/mypy

imports: $(VENV)/dev.stamp ## the arrows between the rooms
	@$(BIN)/lint-imports --no-cache

audit: ## look the pinned packages up in the package index's advisory database (needs that network)
	@$(PYTHON) scripts/audit

samples: $(VENV)/dev.stamp ## draw sample_docs/scans/ again (seeded: the same bytes each time)
	@$(BIN)/python sample_docs/make_samples.py

browser: $(VENV)/dev.stamp ## drive the review page in a real Chromium (installed by scripts/chromium when missing)
	@scripts/chromium
	@$(BIN)/python -m pytest -m browser

bucket: $(VENV)/dev.stamp ## back up to a real S3-compatible store (installed and started by scripts/bucket)
	@$(PYTHON) scripts/bucket $(BIN)/python -m pytest tests/outside/test_bucket.py

soak: $(VENV)/dev.stamp ## kill, flip and attack the vault, read 2,000 broken scans (about two hours)
	@$(BIN)/python -m tests.soak
	@$(BIN)/python -m tests.soak.scans

bench: $(VENV)/dev.stamp ## measure everything, ratios side by side in one run
	@$(BIN)/python -m benchmarks

bench-reading: $(VENV)/dev.stamp ## measure reading on drawn scans: exact, review, silent errors, pages a minute
	@$(BIN)/python -m benchmarks reading --count 200 --seed 101 --split proof

lock: $(VENV)/dev.stamp ## resolve the pinned requirements again (needs uv)
	uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes --no-header --no-emit-index-url --no-annotate --quiet --output-file requirements/run.txt
	uv pip compile pyproject.toml --extra dev --universal --python-version 3.11 --generate-hashes --no-header --no-emit-index-url --no-annotate --quiet --output-file requirements/dev.txt

clean: ## remove what the targets made
	rm -rf $(VENV) .bucket-venv .audit-venv demo_office .mypy_cache .ruff_cache .pytest_cache
