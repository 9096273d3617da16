plug=socket=None
