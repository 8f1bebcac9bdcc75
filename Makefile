# Two commands do everything on a fresh machine with Python >= 3.11 (with venv) and make:
#   make demo   sets up, makes the demo dossier and prints its report
#   make test   sets up, then format, lint, types, import layers, doctests and tests
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo test format clean

demo: $(VENV)/.run-ready
	$(BIN)/wringout demo demo

test: $(VENV)/.test-ready
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/pytest -n 2 -q

format: $(VENV)/.test-ready
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

$(VENV)/.run-ready: requirements.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --editable .
	touch $@

$(VENV)/.test-ready: requirements-test.txt $(VENV)/.run-ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements-test.txt
	touch $@

clean:
	rm -rf $(VENV) demo build
