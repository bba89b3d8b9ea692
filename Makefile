# Everything is done inside this checkout: a virtual environment in .venv, locked versions with hashes.
PYTHON ?= python3
BIN := .venv/bin
DEMO ?= demo

.PHONY: demo app test check bench bench-app bench-spacing bench-groove seek pictures lock clean

# The tool alone: what `make demo` needs.
.venv/run.done: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "stopcut needs Python 3.11 or later; try: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

# What the tests and the other checks need on top.
.venv/dev.done: .venv/run.done requirements-dev.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements-dev.lock
	@touch $@

.venv/bench.done: .venv/dev.done requirements-bench.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements-bench.lock
	@touch $@

.venv/seek.done: .venv/bench.done requirements-seek.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements-seek.lock
	@touch $@

demo: .venv/run.done
	$(BIN)/stopcut demo $(DEMO)

app: .venv/run.done
	$(BIN)/stopcut app

test: .venv/dev.done
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -n 3 --dist loadfile --no-loadscope-reorder -ra

check: .venv/dev.done
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m checks.house

bench: .venv/dev.done
	$(BIN)/python -m benchmarks.job
	$(BIN)/python -m benchmarks.setting
	$(BIN)/python -m benchmarks.plan

bench-groove: .venv/dev.done
	$(BIN)/python -m benchmarks.groove
	$(BIN)/python -m benchmarks.lines --steady

# In a real Chromium: one on the machine, or Playwright's own.
bench-app: .venv/dev.done
	$(BIN)/python -m benchmarks.app

bench-spacing: .venv/bench.done
	$(BIN)/python -m benchmarks.spacing

# An hour of strangers' files, random jobs and damage; what it was told stays in seek-out, and the next run goes on there.
MINUTES ?= 60
seek: .venv/seek.done
	$(BIN)/python -m seek --minutes $(MINUTES)

# The pictures of the README and the docs, made by real runs.
pictures: .venv/dev.done
	$(BIN)/python -m benchmarks.pictures
	$(BIN)/python -m benchmarks.screens
	$(BIN)/python -m benchmarks.lines

COMPILE = $(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-header --no-annotate \
	--no-emit-index-url --no-emit-find-links --no-emit-trusted-host

lock: .venv/dev.done
	$(COMPILE) --extra build --output-file requirements.lock pyproject.toml
	$(COMPILE) --extra build --extra postgres --extra dev --constraint requirements.lock --output-file requirements-dev.lock pyproject.toml
	$(COMPILE) --extra build --extra postgres --extra dev --extra bench --constraint requirements-dev.lock --output-file requirements-bench.lock pyproject.toml
	$(COMPILE) --extra build --extra postgres --extra dev --extra bench --extra seek --constraint requirements-bench.lock --output-file requirements-seek.lock pyproject.toml

clean:
	rm -rf .venv demo
