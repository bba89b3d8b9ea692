# Everything is done inside this checkout: a virtual environment in .venv, locked versions with hashes.
PYTHON ?= python3
BIN := .venv/bin
DEMO ?= demo

.PHONY: demo app test check mutants docs bench bench-app bench-spacing bench-groove seek pictures lock clean

# The tool alone: what `make demo` needs.
.venv/run.done: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "stopcut needs Python 3.11 or later; try: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

# Each lock holds what those before it lack: they add to one another.
MORE = $(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements.lock

# What the tests and the other checks need on top.
.venv/dev.done: .venv/run.done requirements-dev.lock
	$(MORE) --requirement requirements-dev.lock
	@touch $@

.venv/bench.done: .venv/dev.done requirements-bench.lock
	$(MORE) --requirement requirements-dev.lock --requirement requirements-bench.lock
	@touch $@

.venv/seek.done: .venv/bench.done requirements-seek.lock
	$(MORE) --requirement requirements-dev.lock --requirement requirements-bench.lock --requirement requirements-seek.lock
	@touch $@

# What makes a site of the docs.
.venv/docs.done: .venv/run.done requirements-docs.lock
	$(MORE) --requirement requirements-docs.lock
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
	$(BIN)/oxlint src
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m checks.house

# Small wrong changes in five rooms, tried against the tests in a copy; what was tried stays in mutants-out.
mutants: .venv/dev.done
	nice -n 19 $(BIN)/python -m mutants

# The docs as a site, with a page for every module.
docs: .venv/docs.done
	$(BIN)/mkdocs build --strict --quiet --config-file site/mkdocs.yml

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

# The pictures of the README and the docs, made by real runs; one that shows the same as before is left as it was.
pictures: .venv/dev.done
	$(BIN)/python -m benchmarks.pictures
	$(BIN)/python -m benchmarks.screens
	$(BIN)/python -m benchmarks.lines

COMPILE = $(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-header --no-annotate \
	--no-emit-index-url --no-emit-find-links --no-emit-trusted-host

# lock_more NAME, EXTRAS, LOCKS: what a lock is compiled to as a whole is kept as far as it goes beyond the locks before it.
define lock_more
	touch requirements-$(1).lock
	$(BIN)/python -m checks.locks whole $(3) requirements-$(1).lock > .venv/whole-$(1).txt
	$(COMPILE) --extra build $(2) --output-file .venv/whole-$(1).txt pyproject.toml
	$(BIN)/python -m checks.locks beyond .venv/whole-$(1).txt $(3) > .venv/beyond-$(1).txt
	mv .venv/beyond-$(1).txt requirements-$(1).lock
endef

lock: .venv/dev.done
	$(COMPILE) --extra build --output-file requirements.lock pyproject.toml
	$(call lock_more,dev,--extra postgres --extra dev,requirements.lock)
	$(call lock_more,bench,--extra postgres --extra dev --extra bench,requirements.lock requirements-dev.lock)
	$(call lock_more,seek,--extra postgres --extra dev --extra bench --extra seek,requirements.lock requirements-dev.lock requirements-bench.lock)
	$(call lock_more,docs,--extra docs,requirements.lock)

clean:
	rm -rf .venv demo
