"""SVG and PDF stencils: drawn in a child process, only the part that is drawn on the page."""
