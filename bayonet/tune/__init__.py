"""From a weak design to one that reaches its yield at least cost: nominals and tolerances."""
