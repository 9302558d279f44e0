"""The Heronwick field lamp: an invented gift box whose flats are tiler's sample art."""
