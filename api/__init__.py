"""The service: plans kept and answered for, as JSON."""
