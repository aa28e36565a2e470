"""The pages, one module each; a page without script is the page."""
