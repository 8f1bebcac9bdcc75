"""Flight mechanics of light airplanes: pure functions on floats and arrays in SI units."""
