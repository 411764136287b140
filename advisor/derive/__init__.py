"""Facts worked out of a call, one module for each side of the job."""
