"""Every part, not only the nominal one: zones of plug and socket."""
