"""What people see: the picture, the page, the tables and the command line."""

import os

# before numpy is loaded: our matrices are small, and the threads of BLAS wait for each other
# at full speed on cores that the checks need
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
