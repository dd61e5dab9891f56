// Small comforts; every page works without them.
