"""The developed plane: contours of lugs and tracks, and the poses at which they do not collide."""
