"""What a section is: contours, regions, materials, profiles, plates, drawings, section files."""
