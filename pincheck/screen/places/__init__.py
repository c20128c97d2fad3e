"""The places of the screen: what one looks at, one file each."""
