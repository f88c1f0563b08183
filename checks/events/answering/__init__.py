"""Events about answers: answers, confirmations, dissents, evidence."""
