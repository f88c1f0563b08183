"""Events about answers: given, confirmed, questioned, shown by evidence."""
