"""Tables of the trade: one module per table, its data beside it with provenance."""
