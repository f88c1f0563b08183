"""Beta methods (answers to beta), one module for each method and edition."""
