"""The demonstration library: two shooting days of an invented production, as kit documents."""
