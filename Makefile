# The two commands: make demo, make test. Everything installs into .venv at the root.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
NODE_STAMP := tests/node/node_modules/.installed
PAGE := src/refledge/interfaces/web/page/index.html
PAGE_SOURCES := $(shell find web/src -type f) web/index.html web/package.json \
    web/package-lock.json web/tsconfig.json web/vite.config.ts
WORKERS ?= 2

.PHONY: install page page-if-node demo test verify check fmt lock bench clean

install: $(STAMP)

$(STAMP): requirements/dev.txt pyproject.toml scripts/check_python.py scripts/system_packages.sh
	@$(PYTHON) scripts/check_python.py
	@sh scripts/system_packages.sh
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@

$(NODE_STAMP): tests/node/package.json tests/node/package-lock.json
	cd tests/node && npm ci --no-audit --no-fund --silent
	@touch $@

# The workbench's page, from TypeScript; the Python package carries what comes out.
page: $(PAGE)

$(PAGE): $(PAGE_SOURCES)
	cd web && npm ci --no-audit --no-fund --silent && npm run --silent check && npm run --silent build

# The command line needs no page, so a machine without Node goes on without it.
page-if-node:
	@if command -v npm >/dev/null 2>&1; then $(MAKE) --no-print-directory page \
	    || echo "Note: the workbench's page was not built (see above); everything else works."; \
	else echo "Note: no Node here, so the workbench's page is not built; everything else works."; fi

# The main job on the example: a build folder with parts, tables and report.
demo: $(STAMP) page-if-node
	$(BIN)/refledge design examples/lake-sampler/brief.toml --out build/lake-sampler || [ $$? -eq 1 ]
	@echo "Open build/lake-sampler/report.html"
	@[ ! -f $(PAGE) ] || echo "Or see it live: $(BIN)/refledge serve"

test: $(STAMP) $(NODE_STAMP) page
	@sh scripts/system_packages.sh tests
	cd web && npm test --silent
	OPENBLAS_NUM_THREADS=1 $(BIN)/python -m pytest -q -n $(WORKERS) --dist worksteal

# The verification book: solid solver against published problems, beams against solids.
verify: $(STAMP)
	$(BIN)/python scripts/verification_book.py
	$(BIN)/python scripts/beams_and_solids.py

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

fmt: $(STAMP)
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

bench: $(STAMP)
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(BIN)/python benchmarks/arm_candidates.py
	$(BIN)/python benchmarks/design_time.py
	$(BIN)/python benchmarks/layout_candidates.py
	$(BIN)/python benchmarks/solid_vs_calculix.py

# Pin every dependency with hashes; the file names no registry.
lock:
	uv pip compile --python-version 3.11 --universal --generate-hashes --no-annotate --no-header \
	    pyproject.toml requirements/dev.in -o requirements/dev.txt

clean:
	rm -rf $(VENV) build dist tests/node/node_modules web/node_modules \
	    src/refledge/interfaces/web/page .mypy_cache .ruff_cache .pytest_cache
