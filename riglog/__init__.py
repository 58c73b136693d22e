"""A rig-profile library and versioned logbook for camera rigs that hang from a pivot."""

__version__ = "0.1.0"
