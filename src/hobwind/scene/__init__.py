"""Pictures of a build: its shapes in millimetres, made once, and what plays them back as DXF and SVG."""
