#!/bin/sh
# All tests of the voxel GPU backend, on a machine with CuPy, NumPy, SciPy and pytest.
# Run from the repository's root: sh scripts/gpu_check.sh [python]
set -eu
python=${1:-python3}
PYTHONPATH=src:. "$python" - <<'PYTHON'
from refledge.voxels.gpu import gpu_here

assert gpu_here(), "no CuPy or no device: nothing to check here"
PYTHON
PYTHONPATH=src:. "$python" -m pytest tests/voxels/test_gpu.py -q -p no:cacheprovider
