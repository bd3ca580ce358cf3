"""From a folder to what is published: options, publishing, watching, starting a meet."""
