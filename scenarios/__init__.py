"""The bundled scenarios: data only, one folder a scenario, read by scheduler.scenario."""
