"""The screen: plan a mock and see it at once. Widgets draw what they are given; all work is the core's."""
