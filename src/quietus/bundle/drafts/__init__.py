"""Letters and forms for the preparer to check and sign, and the rules about what they have to say."""
