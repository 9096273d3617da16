"""The plug as measured, what the user wants, and the socket that follows. No geometry kernel."""
