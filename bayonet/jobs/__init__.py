"""Jobs beside making the socket, one module each."""
