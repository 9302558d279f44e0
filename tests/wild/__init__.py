"""Files that nobody cleaned: the test files of general-purpose PDF and imaging libraries."""
