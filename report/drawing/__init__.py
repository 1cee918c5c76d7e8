"""What figures draw with: outlines, fields, labels, colours, layout."""
