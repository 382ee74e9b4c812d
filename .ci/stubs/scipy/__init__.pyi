# What the tests use of scipy 1, typed from its documentation.
