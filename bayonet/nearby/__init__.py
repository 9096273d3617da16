"""What stands round a tank: distances from tank, valve, hand and tool to scans and models."""
