"""The network of a system as a picture: one graph, written as SVG, DOT or Mermaid."""
