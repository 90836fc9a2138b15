# Two commands do all the set-up on a fresh machine that has Python 3.11 or later and make:
#   make demo   runs the main job on the sample scenario
#   make test   runs the checks and the tests
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

.PHONY: demo test search check bench docs clean

demo: $(READY)
	$(BIN)/crosswalk demo --out out/demo

test: check
	$(BIN)/python -m pytest

# the property tests with twenty times as many examples, new ones each time
search: $(READY)
	SEARCH_TIMES=20 $(BIN)/python -m pytest -m hypothesis tests

check: $(READY)
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(READY)
	$(BIN)/python -m tests.benchmarks.bench_main_job

docs: $(READY)
	$(BIN)/python -m crosswalk.reports.reference
	$(BIN)/python -m crosswalk.cli.reference

$(READY): pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable ".[test]"
	touch $(READY)

clean:
	rm -rf $(VENV) out build dist .mypy_cache .pytest_cache .ruff_cache .hypothesis
