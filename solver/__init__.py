"""What a section and a member do: properties, stress, twist, studies."""
