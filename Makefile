# One word a chore; `make` alone lists them.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
OUT := out

.PHONY: help demo test quick speed fix docs clean

help:
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed 's/:.*## /\t/' | expand -t 10

$(READY): pyproject.toml .ci/environment
	@bash .ci/environment $(PYTHON) $(VENV)
	@touch $(READY)

demo: $(READY) ## make the environment, install, judge the boat-shed fan, draw it, and say where
	@$(BIN)/hobwind demo --out $(OUT)

test: $(READY) ## everything: format, lint, types, all tests
	@bash .ci/debian-packages
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/pytest -n 2 --dist loadfile --ignore=tests/journeys
	$(BIN)/pytest tests/journeys

quick: $(READY) ## the tests without the slow ones that walk whole commands
	$(BIN)/ruff check . && $(BIN)/mypy && $(BIN)/pytest -n 2 --dist loadfile --ignore=tests/cli --ignore=tests/properties --ignore=tests/journeys

speed: $(READY) ## how fast, as ratios measured in one run
	@PYTHONPATH=tests $(BIN)/python speed/table.py

fix: $(READY) ## format and mend what the linter can
	$(BIN)/ruff format . && $(BIN)/ruff check --fix .

docs: $(READY) ## write the command help, schemas and tables in docs/ anew
	@$(BIN)/python docs/write.py

clean: ## remove the environment and what was built
	rm -rf $(VENV) $(OUT) build dist .mypy_cache .pytest_cache .ruff_cache .hypothesis
