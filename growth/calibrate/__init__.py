"""Calibration of the class curves on measured trees; run as `python -m growth.calibrate`."""
