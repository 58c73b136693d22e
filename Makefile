# One place for the commands of the project; each makes the environment it needs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed

.PHONY: demo test check bench schemas docs

$(STAMP): pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --editable '.[dev]'
	touch $(STAMP)

demo: $(STAMP)
	$(BIN)/riglog demo

test: $(STAMP)
	$(BIN)/pytest -n auto

check: $(STAMP)
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/mypy demo_db/generate.py demo_db/more_rigs.py
	$(BIN)/lint-imports
	$(BIN)/python -m riglog.interchange.schema --check
	$(BIN)/python -m riglog.cli.reference --check

bench: $(STAMP)
	$(BIN)/python tests/benchmarks --write

schemas: $(STAMP)
	$(BIN)/python -m riglog.interchange.schema --write

docs: $(STAMP)
	$(BIN)/python -m riglog.cli.reference --write
