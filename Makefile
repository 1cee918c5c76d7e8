# Every rule brings what it needs: system packages (Debian, as root or through sudo), .venv, the install.
# One thread a process: the tests run in two processes, and the solver is fastest with one.
export OPENBLAS_NUM_THREADS ?= 1
export OMP_NUM_THREADS ?= 1

BIN := .venv/bin
DEMO := out/demo

.PHONY: help demo test slow coverage lint types bench track validation catalogue fuzz robust docs build clean
.DEFAULT_GOAL := help

help: ## say what the rules do
	@grep -E '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 12

# A file's tests stay in one process, which makes what they share (pages, servers, solved members) once.
# Where a process dies the run ends and says in which test: one started in its place would wait for ever.
BOTH := -n 2 --dist loadfile --no-loadscope-reorder --max-worker-restart 0

# The checksum kept in this file says for which pyproject.toml the environment was made.
.venv/installed: pyproject.toml .ci/setup
	@.ci/setup
	@touch $@

demo: .venv/installed ## set up, then solve a real section: table on screen, figures in out/demo
	@$(BIN)/soapfilm demo --folder $(DEMO)
	@echo "soapfilm is in $(BIN); to have it on the path: . $(BIN)/activate"

test: .venv/installed ## set up with a browser, then run the tests in two processes, all but the slowest
	@.ci/setup browser
	@$(BIN)/python -m pytest $(BOTH) -m "not slow" $(PYTEST_ARGS)

slow: .venv/installed ## the few tests that take longest, which make test leaves out (minutes)
	@$(BIN)/python -m pytest $(BOTH) -m slow $(PYTEST_ARGS)

coverage: .venv/installed ## the tests once more, and which lines and branches they pass; page in out/coverage
	@.ci/setup browser
	@$(BIN)/python -m pytest $(BOTH) --cov --cov-report=term --cov-report=html:out/coverage $(PYTEST_ARGS)

lint: .venv/installed ## ruff over everything
	@$(BIN)/ruff check .

# Type checkers do not run an editable install's import hook, so they get the package as links.
out/types/soapfilm: pyproject.toml $(wildcard api/*)
	@mkdir -p $@
	@for thing in api/*; do ln -sfn ../../../$$thing $@/; done
	@for room in geometry solver report desk cli; do ln -sfn ../../../$$room $@/$$room; done
	@touch $@

types: .venv/installed out/types/soapfilm ## mypy --strict over the package
	@$(BIN)/mypy

bench: .venv/installed ## install the reference libraries, then measure beside them; members, buckling and the desk too
	@.ci/setup browser
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[bench]'
	@$(BIN)/python -m benchmarks $(BENCH_ARGS)
	@$(BIN)/python -m benchmarks.accuracy_curves
	@$(BIN)/python -m benchmarks.growth
	@$(BIN)/python -m benchmarks.stresses
	@$(BIN)/python -m benchmarks.studies
	@$(BIN)/python -m benchmarks.members
	@$(BIN)/python -m benchmarks.deforming_speed
	@$(BIN)/python -m benchmarks.deforming_stations
	@$(BIN)/python -m benchmarks.member_jobs
	@$(BIN)/python -m benchmarks.buckling.speed
	@$(BIN)/python -m benchmarks.desk_latency

# Runs are kept in out/track; the table has a line each for now and for the run before.
TRACK := --benchmark-storage=out/track --benchmark-autosave --benchmark-compare \
	--benchmark-timer=time.process_time --benchmark-max-time=0.5 --benchmark-min-rounds=3 \
	--benchmark-warmup=on --benchmark-warmup-iterations=1 \
	--benchmark-columns=min,median,rounds --benchmark-sort=name \
	-W ignore::pytest_benchmark.logger.PytestBenchmarkWarning

track: .venv/installed ## our own times beside those of the run before (a minute)
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[bench]'
	@$(BIN)/python -m pytest benchmarks/test_speed.py $(TRACK)

validation: .venv/installed ## install the reference libraries, then write benchmarks/VALIDATION.md
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[bench]'
	@$(BIN)/python -m benchmarks.validation $(VALIDATION_ARGS)

catalogue: .venv/installed ## solve every rolled shape beside its table (minutes)
	@$(BIN)/python -m benchmarks.catalogue_spread

fuzz: .venv/installed ## many random and damaged files (an hour; run again to go on)
	@nice $(BIN)/python -m tests.fuzz.campaign --inputs 26000 --seconds 3600 $(FUZZ_ARGS)
	@nice $(BIN)/python -m tests.fuzz.campaign --files --inputs 1600 --seconds 3600 $(FUZZ_ARGS)
	@$(BIN)/python -m tests.fuzz.campaign --summary benchmarks/FUZZ.md

robust: .venv/installed ## sections and members at random and at the edge, each held against something independent (an hour)
	@nice $(BIN)/python -m benchmarks.robustness $(ROBUST_ARGS)
	@nice $(BIN)/python -m benchmarks.robustness.members $(ROBUST_MEMBER_ARGS)

docs: .venv/installed ## the documentation as a site in out/site, links checked
	@NO_MKDOCS_2_WARNING=1 $(BIN)/python -m mkdocs build --strict --quiet
	@echo "open out/site/index.html"

build: .venv/installed ## wheel and source archive in dist/
	@$(BIN)/python -m build --outdir dist

clean: ## remove what the rules made, .venv too
	rm -rf .venv out dist build *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis
