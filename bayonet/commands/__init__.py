"""One module a command or group of commands; `bayonet.cli` gathers them."""
