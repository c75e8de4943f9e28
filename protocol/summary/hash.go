package summary

// shortHash is how many hex digits of a hash are printed: 64 bits, more than chance or a slip can meet.
const shortHash = 16

// ShortHash is what is printed of the hash of a journal's line.
func ShortHash(hash string) string { return hash[:min(len(hash), shortHash)] }
