def starting_file(): return open("/work/main/examples/coolant_level_sensor.toml").read()
Made=make=None
