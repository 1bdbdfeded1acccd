"""The demo registry: eighteen months in three invented shops, told through the code that people use."""
