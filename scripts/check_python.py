"""Stop with one clear line where the Python is too old."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - this file exists to be run by old Pythons
    sys.exit(
        "Refledge needs Python 3.11 or newer; this is "
        + sys.version.split()[0]
        + ". Next: run `make PYTHON=python3.11 demo` with a newer one installed."
    )
