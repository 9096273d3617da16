"""From a scan of the plug to its description. Reading, fitting, writing; no CAD kernel."""
