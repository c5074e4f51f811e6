# The two commands: make demo, make test. Everything installs into .venv at the root.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed

.PHONY: demo test check install fmt clean lock

install: $(STAMP)

$(STAMP): requirements/dev.txt pyproject.toml scripts/system_packages.sh
	@sh scripts/system_packages.sh
	$(PYTHON) scripts/check_python.py
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $(STAMP)
