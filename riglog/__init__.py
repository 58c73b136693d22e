"""A rig-profile library and versioned logbook for camera rigs that hang from a pivot."""
